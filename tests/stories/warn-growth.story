# More new horn than grows in two weeks: loose horn was left on, or another length was clipped.
at 2026-03-03 06:50
power on
office clock
office plan 1:12=recheck-LH,open-LH-outer,growth-3.2
at 2026-03-03 07:10
keys COW 12 COW
expect CowDue
keys LH DO 51
keys SIZE 7
clip 3.20 mm
expect Committed
clip 5.60 mm
expect GrewFast
wait 10min
plug in
power off
