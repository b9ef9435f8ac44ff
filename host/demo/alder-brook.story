# Two days at Alder Brook, an invented farm with invented cows.
# First a morning of trims, two weeks later the recheck. Times are UTC. STORY.md has the language.
# Most cows are told in short sentences and bundles, some in long words, as hands are used to.

at 2026-03-03 06:42
power on
office clock            # told the time at the desk, before driving off
office plan 1:12 1:27 1:31 1:46 1:58 1:63 1:70 1:84 1:95 1:103 1:118 1:126 1:139 1:144 1:152 1:167 1:171 1:188 1:193 1:205 1:219 1:226 1:341 1:350 1:368 1:377 bundle=2:60-foot,61-foot,21-foot bundle=3:31-this,32-this,82-foot-14,10-partner bundle=5:50-this,41-partner
at 2026-03-03 07:18
keys COW 01 COW         # farm 1 of the day: Alder Brook
keys SIZE 0             # the gauge block first: is the calliper right today?
clip 75.00 mm
expect Committed
wait 4min

# A cow that only wants length and balance.
keys COW 12 COW
keys SCORE 1 1
keys RH
clip 81.20 mm
wait 70s
keys DO 30
clip 77.90 mm
keys RH
wait 50s
keys DO 30
keys LH
clip 79.05 mm
wait 70s
keys DO 30
clip 76.10 mm
keys LH
wait 50s
keys DO 30
wait 75s

# Sole ulcer on the right hind outer claw: opened, lowered, block under the sound partner.
keys COW 27 COW
keys SCORE 1 3
wait 105s
keys DO RH
keys RH
keys FIND 13 FIND 04 2
wait 90s
keys DO 03              # bundle 3: opened, lowered, see again in 14 days, block on the partner
expect Committed
wait 105s
keys DO LH
wait 75s

# The plug of the calliper works loose: the handheld says so, and the length is taken again.
keys COW 31 COW
keys RH
plug loose
clip 83.15 mm
expect CalliperFault
wait 12s
plug firm
clip 83.15 mm
expect Committed
wait 60s
keys DO 30
keys RH
wait 50s
keys DO 30
keys LH
wait 50s
keys DO 30
keys LH
wait 50s
keys DO 30
wait 75s

keys COW 46 COW
keys SCORE 1 2
keys RH
clip 92.30 mm
wait 120s
keys DO RH
clip 80.40 mm
keys LH
clip 89.85 mm
wait 120s
keys DO LH
clip 79.50 mm
wait 75s

# Digital dermatitis, an active M2, cleaned and covered.
keys COW 58 COW
keys SCORE 1 2
wait 105s
keys DO RH
wait 105s
keys DO LH
keys LH FIND 31 2
keys DO 02              # bundle 2: cleaned, treated, wrapped
keys DO 82 07
wait 75s

keys COW 63 COW
keys SCORE 1 1
keys RH
clip 87.60 mm
wait 120s
keys DO RH
clip 78.80 mm
keys LH
clip 86.40 mm
wait 120s
keys DO LH
clip 78.10 mm
wait 75s

# The foot key once too often: said of the inner claw, taken back, said again.
keys COW 70 COW
keys RH RH
expect Medial
keys FIND 22 2
keys UNDO
expect Undone
keys RH
expect Lateral
keys FIND 22 2
keys DO 31
wait 80s
keys DO 30
keys RH
keys DO 30 DO 11        # block, glued the first trial way
keys LH
wait 55s
keys DO 30
keys LH
wait 50s
keys DO 30
wait 60s

keys COW 84 COW
keys SCORE 1 1
wait 105s
keys DO RH
wait 105s
keys DO LH
wait 75s

keys COW 95 COW
keys SCORE 1 1
keys RH
clip 84.55 mm
wait 120s
keys DO RH
clip 77.40 mm
keys LH
clip 83.90 mm
wait 120s
keys DO LH
clip 77.05 mm
wait 75s

# A wrong cow number, noticed at once: 314 is taken back, 341 is in the chute.
keys COW 314 COW
wait 3s
keys UNDO
expect Undone
keys COW 341 COW
keys SCORE 1 2
wait 105s
keys DO RH
wait 105s
keys DO LH
keys LH LH FIND 11 1
wait 75s

keys COW 103 COW
keys SCORE 1 1
wait 420s
keys DO DO
wait 75s

# Sole ulcer on the left hind; the block is glued the second trial way.
keys COW 118 COW
keys SCORE 1 3
keys RH
clip 98.10 mm
wait 120s
keys DO RH
clip 81.05 mm
keys LH
clip 95.45 mm
wait 120s
keys DO LH
clip 80.20 mm
keys FIND 13 3
keys DO 31 DO 32
keys LH
wait 95s
keys DO 12
keys DO 70             # pain relief, given by the farmer from the vet's stock
keys DO 82 14
wait 75s

# The calliper was left in inches by the boy who wiped it.
keys COW 126 COW
keys RH
clip 3.3465 in
wait 60s
keys DO 30
clip 3.0710 in
keys RH
wait 50s
keys DO 30
keys LH
clip 3.2875 in
wait 50s
keys DO 30
keys LH
wait 50s
keys DO 30
wait 90s

keys COW 139 COW
keys SCORE 1 1
wait 105s
keys DO RH
wait 105s
keys DO LH
wait 75s

# She has gone, and the jaws close on the crush bar: a length without a cow.
keys COW COW
clip 61.20 mm
expect Unplaced
wait 60s

keys COW 144 COW
keys SCORE 1 2
wait 105s
keys DO RH
keys RH FIND 33 1       # a wart between the claws, on the foot
wait 105s
keys DO LH
wait 75s

keys COW 152 COW
keys SCORE 1 1
keys RH
clip 82.35 mm
wait 120s
keys DO RH
clip 78.35 mm
keys LH
clip 81.20 mm
wait 120s
keys DO LH
clip 77.80 mm
wait 75s

# White line disease with pus, opened; block on the inner claw.
keys COW 167 COW
keys SCORE 1 3
wait 105s
keys DO RH
keys RH
keys FIND 22 FIND 03 3
wait 90s
keys DO 03
wait 105s
keys DO LH
wait 75s

keys COW 171 COW
keys SCORE 1 1
keys RH
wait 55s
keys DO 30
keys RH
wait 50s
keys DO 30
keys LH
wait 55s
keys DO 30
keys LH
wait 50s
keys DO 30
wait 75s

# Swelling above the coronet on one side, hot, and she will not load it: not for us.
keys COW 188 COW
keys SCORE 1 5
keys LH
keys FIND 61 3
keys DO 33             # looked at, not trimmed
keys DO 81             # vet now
expect Committed
wait 4min

keys COW 193 COW
keys SCORE 1 1
wait 105s
keys DO RH
wait 105s
keys DO LH
wait 75s

# A sentence begun and thought better of.
keys COW 205 COW
keys RH FIND 1 UNDO
expect Dropped
keys FIND 21 1
wait 70s
keys DO 30 RH DO 30
keys LH
wait 60s
keys DO 30 LH DO 30
wait 60s

# The digits the wrong way round, and nobody notices: there is no cow 291, 219 is meant.
keys COW 291 COW
keys SCORE 1 1
wait 105s
keys DO RH
wait 105s
keys DO LH
wait 75s

keys COW 226 COW
keys SCORE 1 1
keys RH
clip 86.10 mm
wait 120s
keys DO RH
clip 78.25 mm
keys LH
clip 85.05 mm
wait 120s
keys DO LH
clip 77.90 mm
wait 75s

# Heel horn erosion on both hind feet, and an M4.1 beside it.
keys COW 350 COW
keys SCORE 1 2
wait 105s
keys DO RH
keys RH FIND 19 2
wait 105s
keys DO LH
keys LH FIND 19 2
keys FIND 31 5
keys DO 60 DO 61
wait 75s

keys COW 368 COW
keys SCORE 1 1
wait 105s
keys DO RH
wait 105s
keys DO LH
wait 75s

# Two claws cut; the second one is short, and the handheld says so.
keys COW 377 COW
keys RH
wait 60s
keys DO 30
clip 58.90 mm
expect TooShort
keys FIND 18 2
keys RH
wait 50s
keys DO 30
keys LH
wait 60s
keys DO 30
keys LH
wait 50s
keys DO 30
keys COW COW

wait 25min
plug in                 # at the desk: the office pulls the day
power off

# Two weeks later: the recheck. Nobody told the handheld the time; the pull will place it.
at 2026-03-17 08:05
power on
office plan 1:27=recheck-RH,block-off-RH 1:58=recheck-LH 1:70=recheck-RH,block-off-RH 1:118=recheck-LH,block-off-LH 1:167=recheck-RH,block-off-RH 1:171 1:205 1:350 1:377 bundle=5:50-this,41-partner
keys COW 01 COW
calliper bcd52          # the other calliper today, the one with a request line
keys SIZE 0
clip 75.01 mm
wait 5min

# The ulcer of cow 27: new horn over all of it but thin; the block held.
keys COW 27 COW
keys SCORE 1 2
keys RH
keys FIND 13 FIND 04 1
keys DO 51
keys SIZE 7
clip 2.10 mm
keys RH DO 40
keys DO 82 14
wait 3min

# Dermatitis of cow 58: from M2 to M4.
keys COW 58 COW
keys LH
keys FIND 31 4
keys DO 51
wait 3min

keys COW 70 COW
keys SCORE 1 1
keys RH
keys FIND 00
keys DO 05             # bundle 5: healed, and the block taken off as no longer needed
expect Committed
wait 3min

# The block of cow 118 is lost, and the ulcer is no better: the vet is to see it.
keys COW 118 COW
keys SCORE 1 3
keys LH
keys FIND 13 3
keys DO 52
keys LH DO 42
keys DO 13             # glued again, the third trial way
keys DO 80
wait 3min

keys COW 167 COW
keys SCORE 1 2
keys RH
keys FIND 22 1
keys DO 51
keys RH DO 40
keys DO 82 14
wait 3min

# A new one, limping since the week-end.
keys COW 171 COW
keys SCORE 1 3
keys LH
keys FIND 12 2
wait 80s
keys DO 30
keys DO 31
keys LH
keys DO 30
keys DO 10
keys DO 82 14
wait 3min

keys COW 350 COW
keys LH
keys FIND 31 0          # healed
keys DO 50
wait 3min

keys COW 205 COW
keys RH
keys FIND 00
wait 3min

keys COW 377 COW
keys RH
clip 61.35 mm
keys FIND 18 1
keys DO 51
wait 3min

keys COW COW
wait 20min
plug in
power off
