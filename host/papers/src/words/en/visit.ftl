# The report of a visit. English.

visit-title = { $farm }: claw trimming
visit-recorded-by = { $date }. Recorded on handheld { $handhelds }.
visit-vet-now = Vet now
visit-vet-to-see = Vet to see
visit-vet-none = Nothing for the vet was keyed or follows from a rule.
visit-line-of-cow = Cow { $cow }, { $place }: { $why }
visit-line-of-cow-only = Cow { $cow }: { $why }
because-keyed = keyed: in { $days }
because-keyed-by-trimmer = keyed by the trimmer
because-rule = rule: { $why }, { $days }*
because-vet-rule = rule: { $why }*
why-phlegmon = phlegmon
why-dermatitis = active digital dermatitis
why-found = always seen again
why-treated-lesion = treated lesion
why-not-healed = not healed yet
why-block-glued = block glued
why-wrapped = wrap put on
why-trimmed = trimmed to form
why-vet-now = vet now
why-vet-to-see = vet to see
why-toe-necrosis = toe necrosis
why-swelling = severe swelling above the horn
what-see-again = see again
what-see-again-vet = see again; vet if not better
what-block-off = take the block off
what-wrap-off = take the wrap off
what-ask-vet = ask what the vet found
what-trim = trim
starred = * Common practice, no source. What the trimmer keyed goes before any rule.

head-numbers = The visit in numbers
number-cows = Cows seen
number-cows-note = { $seen } of { $listed } listed ({ $share })
number-trimmed = Claws trimmed
number-new = With a new lesion
number-open = With a lesion still open
number-sound = Examined and sound
number-not-examined = Not examined
number-blocks = Blocks glued on
number-lame = Lame
number-lame-note = of { $scored } scored
note-denominators = New: a lesion found that day. Still open: one found earlier, not healed, and mentioned within the last { $days } days. Shares are of the { $examined } cows examined. Cows that were only scored or only keyed are in no share, and neither are cows that were not brought.
note-times-estimated = Some times of this day are estimated, because the handheld had not been told the time.

head-next = See again
next-none = No foot is to be seen again after this visit.
column-day = By
column-cow = Cow
column-where = Where
column-what = What
column-why = Why
about-next = What is due after the visit, the next first

head-lesions = Lesions
lesions-none = No lesion was found, and none is open from before.
about-lesions = Lesions new or still open that day, the most frequent first
column-lesion = Lesion
column-cows = Cows
column-claws-or-feet = Claws or feet
column-open = Open
column-how-bad = How bad
caption-map = New and open lesions by zone: how many claws have one there, or for the skin how many feet. As seen from above through the foot, her head up the page.
alt-map = Map of the four feet with the number of lesions at each zone: { $spots }
alt-map-none = Map of the four feet. No lesion has a zone.
map-spot = { $place } zone { $zone }: { $n }
caption-shares = Cows with a new or open lesion, of the cows examined. The line shows how far each share can be trusted (95 %, Wilson).
alt-shares = Share of cows with a new or open lesion by visit: { $visits }
visit-share = { $date } { $share } ({ $counts })

head-earlier = Against earlier visits
earlier-none = There is no earlier visit to this herd to look back on.
about-earlier = Share of cows with each lesion on this and the last visit
column-this-visit = This visit
column-last-visit = { $date }
row-any-lesion = any lesion
note-earlier = Cows with the lesion, new or open, of the cows examined; in brackets the 95 % interval (Wilson). Intervals that overlap widely show no difference. Which cows were brought can change a share more than the herd does.

head-cows = Cow by cow
cows-none = No cow was recorded on this day.
about-cows = What was found and done on each foot
column-found = Found
column-grade = Grade
column-zone = Zone
column-done = Done
column-wall = Wall ({ $unit })
lame-score = { $scale } { $value } (lame)
plain-score = { $scale } { $value }
note-cows-brief = Only claws with something to tell stand here, and no wall lengths: those are below and in each cow's history. A zone in brackets was not keyed; it is the lesion's usual one.
note-cows = Wall: dorsal wall length, the last reading before and after trimming to form. A zone in brackets was not keyed; it is the lesion's usual one.
cows-lame = Lame, and nothing found or done: { $cows }.
cows-only-trimmed = Trimmed to form, nothing found: { $cows }.
cows-only-looked = Looked at, not trimmed, nothing found: { $cows }.
in-zone = zone { $zone }
cows-nothing = In the chute, and nothing keyed of a foot: { $cows }.
wall-before = { $length } before
wall-after = { $length } after
also-trimmed = also trimmed to form: { $places }

head-lengths = Measurements
lengths-none = Nothing was measured.
about-lengths = Lengths by dimension, before and after trimming
column-dimension = Dimension ({ $unit })
column-when = When
column-readings = Readings
column-least = Least
column-middle = Middle
column-most = Most
before-trimming = before trimming
after-trimming = after trimming
note-middle = Middle: half of the readings are below it.
target-none = The farm has not chosen a dorsal wall length to aim at (`hornrule herd set --target`).
target-kept = No claw of { $measured } measured after trimming is shorter than the farm's target of { $target }.
target-short = { $short } of { $measured } measured after trimming shorter than the farm's target of { $target }:
target-short-line = Cow { $cow }, { $place }: { $length }
note-target = No one length is safe for every cow: large cows need more, and sole thickness cannot be seen from outside.

head-gauge = Check of the calliper
gauge-none = No gauge block was measured on this day, so nobody can say how far the lengths can be trusted. Measure one before work and after a fall.
gauge-passed = Handheld { $handheld } read its gauge block as { $lengths }: passed.
gauge-failed = Handheld { $handheld } read its gauge block as { $lengths }: not every check passed; clean the jaws, set zero and check again before trusting lengths.
gauge-unknown = Handheld { $handheld } read its gauge block as { $lengths }: the size of the block was not told to the office, so nobody can say whether that is right.
gauge-unchecked = { $n ->
    [one] One reading was taken without a passed check before it on that day.
   *[other] { $n } readings were taken without a passed check before them on that day.
}

head-check = Held, corrected, to check
check-none = Nothing: every entry was complete and likely.
held-n = { $n ->
    [one] { $n } entry is held until a person decides (`hornrule review`) and is not in this report.
   *[other] { $n } entries are held until a person decides (`hornrule review`) and are not in this report.
}
settled-n = { $n ->
    [one] { $n } entry was decided in the office.
   *[other] { $n } entries were decided in the office.
}
check-held = Held
check-flagged = In this report, please check
check-settled = Decided in the office
remark-of-cows = { $what } ({ $n ->
    [one] once
   *[other] { $n } times
}; cow { $cows })
remark-times = { $sentence } ({ $n ->
    [one] once
   *[other] { $n } times
})
unplaced-n = { $n ->
    [one] Besides, one remark in the database belongs to no known farm. Import the missing herd lists.
   *[other] Besides, { $n } remarks in the database belong to no known farm. Import the missing herd lists.
}
head-cautions = Cautions
