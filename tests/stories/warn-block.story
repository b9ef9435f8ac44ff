# The block on the claw with the ulcer: stored, warned of, and put right before she walks off.
at 2026-03-03 06:50
power on
office clock
office plan 1:12 1:27 bundle=1:31-this,32-this,10-this
at 2026-03-03 07:10
keys COW 12 COW
keys LH FIND 13 2
keys DO 10
expect BlockOnLesion
# Which look out was it? Three and four: the claw, the block.
keys SIZE SIZE
expect BlockOnLesion
# Taken back, and glued on the partner.
keys UNDO
expect Undone
keys LH DO 10
expect Committed
wait 3min
# A bundle that was written down wrongly says it too.
keys COW 27 COW
keys RH FIND 22 2
keys DO 01
expect BlockOnLesion
wait 10min
plug in
power off
