# Every kind of entry that the keys of 0.1.0 can say, with every row of its code tables: lesions with each
# of their zones and grades, actions, dimensions, scales, all places. Times are UTC.

at 2026-03-23 06:30
power on
office clock
office plan 1:12=trim-RH 1:27=recheck-RH,vet 1:31=block-off-LH 1:58=do-not-trim 2:27=due order=1x2,3 limit=1:70-90 gauge=75.00
at 2026-03-23 07:00
keys COW 01 COW
keys SIZE 0
clip 75.01 mm
wait 5min

# Lesions: each zone, each grade.

keys COW 12 COW
keys LF
keys FIND 00
wait 20s
wait 3min

keys COW 27 COW
keys RF
keys FIND 11 1
wait 20s
keys FIND 11 2
wait 20s
keys FIND 11 3
wait 20s
keys FIND 11 FIND 05 1
wait 20s
keys FIND 11 FIND 04 2
wait 20s
keys FIND 11 FIND 06 3
wait 20s
keys LH
keys FIND 12 1
wait 20s
keys FIND 12 2
wait 20s
keys FIND 12 3
wait 20s
keys FIND 12 FIND 04 1
wait 20s
keys FIND 12 FIND 05 2
wait 20s
keys FIND 12 FIND 06 3
wait 20s
keys RH
keys FIND 13 1
wait 20s
keys FIND 13 2
wait 20s
keys FIND 13 3
wait 20s
keys FIND 13 FIND 04 1
wait 20s
keys LF
keys FIND 14 1
wait 20s
keys FIND 14 2
wait 20s
keys FIND 14 3
wait 20s
keys FIND 14 FIND 06 1
wait 20s
keys RF
keys FIND 15 1
wait 20s
keys FIND 15 2
wait 20s
keys FIND 15 3
wait 20s
keys FIND 15 FIND 01 1
wait 20s
keys FIND 15 FIND 05 2
wait 20s
keys LH
keys FIND 16 1
wait 20s
keys FIND 16 2
wait 20s
keys FIND 16 3
wait 20s
keys FIND 16 FIND 01 1
wait 20s
keys FIND 16 FIND 05 2
wait 20s
keys RH
keys FIND 17 1
wait 20s
keys FIND 17 2
wait 20s
keys FIND 17 3
wait 20s
keys FIND 17 FIND 05 1
wait 20s
keys FIND 17 FIND 04 2
wait 20s
keys FIND 17 FIND 06 3
wait 20s
keys LF
keys FIND 18 1
wait 20s
keys FIND 18 2
wait 20s
keys FIND 18 3
wait 20s
keys FIND 18 FIND 05 1
wait 20s
keys FIND 18 FIND 04 2
wait 20s
keys RF
keys FIND 19 1
wait 20s
keys FIND 19 2
wait 20s
keys FIND 19 3
wait 20s
keys FIND 19 FIND 06 1
wait 20s
wait 3min

keys COW 31 COW
keys LH
keys FIND 21 1
wait 20s
keys FIND 21 2
wait 20s
keys FIND 21 3
wait 20s
keys FIND 21 FIND 03 1
wait 20s
keys FIND 21 FIND 02 2
wait 20s
keys FIND 21 FIND 01 3
wait 20s
keys RH
keys FIND 22 1
wait 20s
keys FIND 22 2
wait 20s
keys FIND 22 3
wait 20s
keys FIND 22 FIND 03 1
wait 20s
keys FIND 22 FIND 02 2
wait 20s
keys FIND 22 FIND 01 3
wait 20s
keys LF
keys FIND 23 1
wait 20s
keys FIND 23 2
wait 20s
keys FIND 23 3
wait 20s
keys FIND 23 FIND 03 1
wait 20s
wait 3min

keys COW 46 COW
keys RH
keys FIND 31 1
wait 20s
keys FIND 31 2
wait 20s
keys FIND 31 3
wait 20s
keys FIND 31 4
wait 20s
keys FIND 31 5
wait 20s
keys FIND 31 0
wait 20s
keys FIND 31 FIND 10 1
wait 20s
keys FIND 31 FIND 09 2
wait 20s
keys FIND 31 FIND 00 3
wait 20s
keys LF
keys FIND 32 1
wait 20s
keys FIND 32 2
wait 20s
keys FIND 32 3
wait 20s
keys FIND 32 FIND 00 1
wait 20s
keys FIND 32 FIND 10 2
wait 20s
keys FIND 32 FIND 09 3
wait 20s
keys RF
keys FIND 33 1
wait 20s
keys FIND 33 2
wait 20s
keys FIND 33 3
wait 20s
keys FIND 33 FIND 00 1
wait 20s
keys FIND 33 FIND 10 2
wait 20s
keys LH
keys FIND 34 1
wait 20s
keys FIND 34 2
wait 20s
keys FIND 34 3
wait 20s
keys FIND 34 FIND 09 1
wait 20s
keys FIND 34 FIND 00 2
wait 20s
wait 3min

keys COW 58 COW
keys LF
keys FIND 41 1
wait 20s
keys FIND 41 2
wait 20s
keys FIND 41 3
wait 20s
keys FIND 41 FIND 07 1
wait 20s
keys FIND 41 FIND 08 2
wait 20s
keys RF
keys FIND 42 1
wait 20s
keys FIND 42 2
wait 20s
keys FIND 42 3
wait 20s
keys FIND 42 FIND 07 1
wait 20s
keys FIND 42 FIND 08 2
wait 20s
keys LH
keys FIND 43 1
wait 20s
keys FIND 43 2
wait 20s
keys FIND 43 3
wait 20s
keys FIND 43 FIND 11 1
wait 20s
keys FIND 43 FIND 12 2
wait 20s
wait 3min

keys COW 63 COW
keys RF
keys FIND 51 1
wait 20s
keys FIND 51 2
wait 20s
keys FIND 51 3
wait 20s
keys LH
keys FIND 52 1
wait 20s
keys FIND 52 2
wait 20s
keys FIND 52 3
wait 20s
keys RH
keys FIND 53 1
wait 20s
keys FIND 53 2
wait 20s
keys FIND 53 3
wait 20s
keys LF
keys FIND 54 1
wait 20s
keys FIND 54 2
wait 20s
keys FIND 54 3
wait 20s
keys FIND 54 FIND 07 1
wait 20s
wait 3min

keys COW 70 COW
keys LH
keys FIND 61 1
wait 20s
keys FIND 61 2
wait 20s
keys FIND 61 3
wait 20s
keys FIND 61 FIND 09 1
wait 20s
wait 3min

# Actions.

keys COW 84 COW
keys RF
keys DO 10
wait 20s
keys DO 11
wait 20s
keys DO 12
wait 20s
keys DO 13
wait 20s
keys DO 14
wait 20s
keys DO 15
wait 20s
keys DO 16
wait 20s
keys DO 17
wait 20s
keys DO 18
wait 20s
keys DO 19
wait 20s
wait 3min

keys COW 95 COW
keys LH
keys DO 20
wait 20s
keys DO 21
wait 20s
keys DO 22
wait 20s
wait 3min

keys COW 103 COW
keys RH
keys DO 30
wait 20s
keys DO 31
wait 20s
keys DO 32
wait 20s
keys DO 33
wait 20s
wait 3min

keys COW 118 COW
keys LF
keys DO 40
wait 20s
keys DO 41
wait 20s
keys DO 42
wait 20s
wait 3min

keys COW 126 COW
keys RF
keys DO 50
wait 20s
keys DO 51
wait 20s
keys DO 52
wait 20s
keys DO 53
wait 20s
wait 3min

keys COW 139 COW
keys LH
keys DO 60
wait 20s
keys DO 61
wait 20s
keys DO 62
wait 20s
keys DO 63
wait 20s
keys DO 64
wait 20s
keys DO 65
wait 20s
keys DO 66
wait 20s
keys DO 67
wait 20s
keys DO 68
wait 20s
keys DO 69
wait 20s
wait 3min

keys COW 144 COW
keys RH
keys DO 70
wait 20s
wait 3min

keys COW 152 COW
keys LF
keys DO 80
wait 20s
keys DO 81
wait 20s
keys DO 82 14
wait 20s
wait 3min

keys COW 167 COW
keys RF
keys DO 90
wait 20s
wait 3min

# Places: each foot with both claws, and the whole foot where the code is about it.

keys COW 171 COW
keys LF FIND 00
wait 20s
keys DO 30
wait 20s
keys LF FIND 00
wait 20s
keys DO 30
wait 20s
keys DO 21
wait 20s
keys RF FIND 00
wait 20s
keys DO 30
wait 20s
keys RF FIND 00
wait 20s
keys DO 30
wait 20s
keys DO 21
wait 20s
keys LH FIND 00
wait 20s
keys DO 30
wait 20s
keys LH FIND 00
wait 20s
keys DO 30
wait 20s
keys DO 21
wait 20s
keys RH FIND 00
wait 20s
keys DO 30
wait 20s
keys RH FIND 00
wait 20s
keys DO 30
wait 20s
keys DO 21
wait 20s

# Scores, every value.

keys COW 188 COW
keys SCORE 1 1
wait 20s
keys SCORE 1 2
wait 20s
keys SCORE 1 3
wait 20s
keys SCORE 1 4
wait 20s
keys SCORE 1 5
wait 20s
keys SCORE 2 0
wait 20s
keys SCORE 2 1
wait 20s
keys SCORE 2 2
wait 20s
keys SCORE 2 3
wait 20s
keys SCORE 3 1
wait 20s
keys SCORE 3 2
wait 20s
keys SCORE 3 3
wait 20s
keys SCORE 3 4
wait 20s
keys SCORE 4 0
wait 20s
keys SCORE 4 1
wait 20s
keys SCORE 4 2
wait 20s
wait 3min

# Dimensions, in millimetres and in inches, from both calliper outputs that keys and pedal meet.

keys COW 193 COW
calliper sync24
keys LH
keys SIZE 1
clip 90.35 mm
wait 20s
keys SIZE 2
clip 42.85 mm
wait 20s
keys SIZE 3
clip 50.35 mm
wait 20s
keys SIZE 4
clip 130.35 mm
wait 20s
keys SIZE 5
clip 65.35 mm
wait 20s
keys SIZE 6
clip 9.35 mm
wait 20s
keys SIZE 7
clip 5.35 mm
wait 20s
keys SIZE 8
clip 30.35 mm
wait 20s
keys SIZE 9
clip 30.35 mm
wait 20s
wait 3min

keys COW 205 COW
calliper bcd52
keys LH
keys SIZE 1
clip 3.5570 in
wait 20s
keys SIZE 2
clip 1.6870 in
wait 20s
keys SIZE 3
clip 1.9825 in
wait 20s
keys SIZE 4
clip 5.1320 in
wait 20s
keys SIZE 5
clip 2.5730 in
wait 20s
keys SIZE 6
clip 0.3680 in
wait 20s
keys SIZE 7
clip 0.2105 in
wait 20s
keys SIZE 8
clip 1.1950 in
wait 20s
keys SIZE 9
clip 1.1950 in
wait 20s
wait 3min
calliper sync24

# A cow by her tag, one taken back, one who left; a length without a cow.
tag 999000000000027
wait 5s
keys RH FIND 13 2
keys UNDO
expect Undone
keys COW 999999999 COW
wait 5s
keys COW COW
clip 61.20 mm
expect Unplaced
wait 1min

# The calliper that is silent, and the one whose plug is loose.

keys COW 219 COW
keys RH
calliper off
clip 80.00 mm
expect CalliperFault
calliper sync24
plug loose
clip 83.15 mm
clip 83.40 mm
clip 84.20 mm
clip 85.05 mm
plug firm
wait 3min

# The second farm of the plan; cow 4711 is on no list.
keys COW 02 COW
keys COW 4711 COW
keys LF FIND 00
keys COW COW
wait 20min

# A second start, without a clock; then the evening.
power cut
at 2026-03-23 15:00
power on
keys COW 01 COW
keys COW 27 COW
keys RH DO 51
wait 20min
plug in
power off
