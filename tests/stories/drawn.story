# A morning of a trial: ways 1 and 2 of gluing a block are drawn for each claw, and told when the
# block is said. Seed of the draw: "six dice: 3 1 6 2 2 5" (tests/lot.rs holds the plan to it).

at 2026-03-03 06:50
power on
office clock
office plan 1:12=way-1-LF-outer,way-2-LF-inner,way-1-RF-outer,way-2-RF-inner,way-1-LH-outer,way-2-LH-inner,way-1-RH-outer,way-1-RH-inner 1:27=way-2-LF-outer,way-2-LF-inner,way-1-RF-outer,way-2-RF-inner,way-1-LH-outer,way-2-LH-inner,way-1-RH-outer,way-1-RH-inner 1:58=way-2-LF-outer,way-1-LF-inner,way-2-RF-outer,way-1-RF-inner,way-1-LH-outer,way-2-LH-inner,way-2-RH-outer,way-1-RH-inner 1:63=way-2-LF-outer,way-1-LF-inner,way-1-RF-outer,way-2-RF-inner,way-1-LH-outer,way-2-LH-inner,way-1-RH-outer,way-2-RH-inner 1:900 bundle=1:31-this,32-this,10-partner,82-foot-14
at 2026-03-03 07:10

# An ulcer on the outer claw of the left hind. Nothing tells a way before the block is said: not the
# cow, not the foot, not a question.
keys COW 27 COW
expect CowKnown
keys LH
expect Lateral
keys FIND 13 2
expect Committed
keys SIZE SIZE
expect Next1
# The block goes on the partner claw: way 2, told when it is in flash, and again when asked.
keys LH
expect Medial
keys DO 10
expect DrawnWay2
keys SIZE SIZE
expect DrawnWay2
# Any other claw is still concealed; this one is told again when it is in hand again.
keys LH
expect Lateral
keys SIZE SIZE
expect Next1
keys LH
expect Medial
keys SIZE SIZE
expect DrawnWay2
wait 4min

# A bundle: its block is on the partner, of whom way 1 is drawn.
keys COW 58 COW
keys RH
expect Lateral
keys FIND 22 2
keys DO 01
expect DrawnWay1
# Taken back as one; what was told stays told.
keys UNDO
expect Undone
keys DO 01
expect DrawnWay1
wait 3min

# Way 1 is drawn for this claw. The right glue is used up: what is glued is keyed, and the handheld
# tells what was drawn.
keys COW 63 COW
keys LH
expect Lateral
keys DO 12
expect DrawnWay1
# On the right hind he hears the way, has no such block left, and keys what he glued instead.
keys RH
keys DO 10
expect DrawnWay1
keys DO 12
expect DrawnWay1
wait 2min

# Nobody drew for a cow who is not on the herd list; DO 10 is the usual way there.
keys COW 900 COW
expect CowKnown
keys LH
keys DO 10
expect Committed
keys SIZE SIZE
expect Next1
wait 1min

# A draw is by claw of a cow, and the next cow has her own.
keys COW 12 COW
keys RF
keys DO 11
expect DrawnWay1
wait 10min
plug in
power off
