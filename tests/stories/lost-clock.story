# Nobody told the handheld the time in the morning: it says so once, records all the same, and the
# pull in the evening places the day.
at 2026-03-03 07:00
power on
keys COW 01 COW
keys COW 27 COW
expect ClockUnknown
keys LH FIND 13 2
expect Committed
keys COW 31 COW
expect Committed
keys LH FIND 00
at 2026-03-03 12:00
plug in
