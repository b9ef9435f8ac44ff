# A morning in short words: all feet at once, one foot, bundles; work starts at the inner hind claw.

at 2026-03-03 06:50
power on
office clock
# Cow 27 is due on her left hind foot, cow 12 for nothing. Bundle 1: opened, lowered, block on the
# partner, seen again.
office plan 1:12 1:27=recheck-LH 1:58 1:63 inner=LH,RH bundle=1:31-this,32-this,10-partner,82-foot-14
at 2026-03-03 07:10

# Plain: ten keys with her score.
keys COW 12 COW
expect CowKnown
keys SCORE 1 1
keys DO DO
expect Committed
wait 2min

# The first press of a hind foot is its inner claw now; the ulcer is on the outer one.
keys COW 27 COW
expect CowDue
keys DO DO
keys LH
expect FootDue
keys LH
expect Lateral
keys FIND 13 2
keys DO 01
expect Committed
wait 4min

# A bundle on the wrong claw: taken back as one, and keyed again.
keys COW 58 COW
keys RH
expect Medial
keys FIND 22 2
keys DO 01
keys UNDO
expect Undone
keys UNDO
expect Undone
keys RH
expect Lateral
keys FIND 22 2
keys DO 01
expect Committed
# Only the hind feet of this one; a finding now has no claw to go to.
keys DO LH DO RH
keys FIND 19 1
expect NoClaw
# Not done: why?
keys SIZE SIZE
expect NoClaw
wait 3min

# Looked at and left alone, but for one foot.
keys COW 63 COW
keys DO LF
keys DO 33
expect Committed
# The plan has no such bundle.
keys LF DO 09
expect NoBundle
wait 1min

# Power fails while a bundle is keyed: nothing of it was heard, so it is keyed again.
keys FIND 12 1
keys DO 0
power cut
wait 20s
power on
keys COW 63 COW
keys LF DO 01
expect Committed
wait 10min
plug in
power off
