# The heels of a foot stand unevenly after trimming; below a block they are meant to.
at 2026-03-03 06:50
power on
office clock
office plan 1:12 1:27 order=2 heels=3
at 2026-03-03 07:10
keys COW 12 COW
keys DO DO
keys LH
clip 42.00 mm
keys LH
clip 38.50 mm
expect HeelsUneven
# Taken down a little, and clipped again.
keys LH SIZE 2
clip 40.50 mm
expect Committed
wait 2min
keys COW 27 COW
keys DO DO
keys RH FIND 13 2
keys DO 32
keys RH DO 10
keys RH
clip 31.00 mm
keys RH
clip 44.00 mm
expect Committed
wait 10min
plug in
power off
