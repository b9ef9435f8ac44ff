# The battery is swapped at noon. What was said is in flash, so is the plan; the start after it has
# no clock until the pull in the evening.
at 2026-03-03 06:40
power on
office clock
office plan 1:27=recheck-RH 1:31=block-off-LH order=1x2,3 limit=1:70-90
at 2026-03-03 08:00
keys COW 01 COW
keys COW 27 COW
expect CowDue
keys RH
clip 76.40 mm
clip 76.50 mm
keys SIZE SIZE
expect Next3
# And why was this foot due?
keys SIZE SIZE
expect DueRecheck
battery 3300
expect BatteryLow
# Half a sentence is all that a cut may lose.
keys RH FIND 1
power cut
at 2026-03-03 12:05
power on
expect Ready
keys COW 31 COW
wait 3s
keys LH
expect FootDue
keys SIZE SIZE
expect DueBlockOff
keys DO 41
clip 91.00 mm
expect TooLong
at 2026-03-03 16:00
plug in
