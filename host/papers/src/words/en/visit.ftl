# The report of a visit. English.

visit-title = { $farm }: claw trimming
visit-recorded-by = { $date }. Recorded on handheld { $handhelds }.
visit-vet-now = Vet now
visit-vet-to-see = For the vet to see
visit-vet-none = Nothing was keyed for the vet, and no rule asks for one.
visit-line-of-cow = Cow { $cow }, { $place }: { $why }
visit-line-of-cow-only = Cow { $cow }: { $why }
because-keyed = keyed: in { $days }
because-keyed-by-trimmer = keyed by the trimmer
because-rule = rule: { $why }, { $days }*
because-vet-rule = rule: { $why }*
why-phlegmon = phlegmon
why-dermatitis = active digital dermatitis
why-found = always rechecked
why-treated-lesion = treated lesion
why-not-healed = not yet healed
why-block-glued = block glued
why-wrapped = wrap applied
why-trimmed = trimmed
why-vet-now = vet now
why-vet-to-see = for the vet to see
why-toe-necrosis = toe necrosis
why-swelling = severe swelling above the horn
what-see-again = recheck
what-see-again-vet = recheck; vet if no better
what-block-off = take the block off
what-wrap-off = take the wrap off
what-ask-vet = ask what the vet found
what-trim = trim
starred = * Common practice, no source. A keyed day never puts off a safety rule.

number-lame = Lame
note-denominators = New: a lesion found that day. Open: found earlier, not healed, and recorded within the last { $days } days. Shares are of the { $examined } cows examined. Cows that were only scored, or only keyed for the office, are in no share; nor are cows that were not brought.
note-times-estimated = Some times on this day are estimated, because the clock of the handheld had not been set.

head-next = What is due
next-none = Nothing is due after this visit.
next-overdue = overdue since { $date }
column-day = By
column-cow = Cow
column-where = Where
column-what = What
column-why = Why
about-next = What is due after the visit, earliest first

head-lesions = Lesions
lesions-none = No lesion was found, and none is open from before.
about-lesions = Lesions new or still open that day, most frequent first
column-lesion = Lesion
column-cows = Cows
column-claws-or-feet = Claws or feet
column-open = Open
column-how-bad = Severity
caption-shares = Cows with a new or open lesion, of the cows examined. The bar is the 95 % interval (Wilson).
alt-shares = Share of cows with a new or open lesion by visit: { $visits }
visit-share = { $date } { $share } ({ $counts })

head-earlier = Compared with earlier visits
earlier-none = There is no earlier visit to this herd.
about-earlier = Share of cows with each lesion at this visit and the last
column-this-visit = This visit
column-last-visit = { $date }
row-any-lesion = any lesion
note-earlier = Cows with the lesion, new or open, of the cows examined; 95 % intervals in brackets (Wilson). Intervals that overlap widely show no difference. The choice of cows can change a share more than the herd does.

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
note-cows-brief = Only claws with something to report are listed, without wall lengths: those are below and in each cow's history. A zone in brackets was not keyed; it is the usual one for the lesion.
note-cows = Wall: dorsal wall length, last reading before and after trimming. A zone in brackets was not keyed; it is the usual one for the lesion.
cows-lame = Lame, nothing found or done: { $cows }.
cows-only-trimmed = Trimmed, nothing found: { $cows }.
cows-only-looked = Examined, not trimmed, nothing found: { $cows }.
in-zone = zone { $zone }
cows-nothing = In the chute, nothing keyed about a foot: { $cows }.
wall-before = { $length } before
wall-after = { $length } after
also-trimmed = also trimmed: { $places }

head-lengths = Measurements
lengths-none = Nothing was measured.
about-lengths = Lengths by dimension, before and after trimming
column-dimension = Dimension ({ $unit })
column-when = When
column-readings = Readings
column-least = Least
column-middle = Median
column-most = Most
before-trimming = before trimming
after-trimming = after trimming
walls-very-short = Very short after trimming, so the sole at the toe may be thin; watch how she walks: cow { $cows }.
lengths-unchecked = { $n ->
    [one] One reading was taken without a passed check of the calliper that day and may be off.
   *[other] { $n } readings were taken without a passed check of the calliper that day and may be off.
}
note-middle = Median: half of the readings are below it.
target-kept = Of { $measured } claws measured after trimming, none is shorter than the farm's target of { $target }.
target-short = { $short } of { $measured } measured after trimming, shorter than the target: the sole at the toe may be thin
target-short-line = Cow { $cow }, { $place }: { $length } (target { $target })
note-target = Watch how a cow with a short toe walks. No single length is safe for every cow: large cows need more, and sole thickness cannot be seen from outside.

head-gauge = Calliper check
gauge-none = No gauge block was measured on this day, so nobody can say how far to trust the lengths. Measure one before work and after any fall.
gauge-passed = Handheld { $handheld } read its gauge block as { $lengths }: passed.
gauge-failed = Handheld { $handheld } read its gauge block as { $lengths }: not every check passed. Clean the jaws, set zero and check again before trusting any length.
gauge-unknown = Handheld { $handheld } read its gauge block as { $lengths }: the office does not know the size of the block, so nobody can say whether that is right.
gauge-unchecked = { $n ->
    [one] One reading had no passed check before it that day.
   *[other] { $n } readings had no passed check before them that day.
}

held-for-farmer = { $n ->
    [one] One entry is still being checked in the office and is not in this report.
   *[other] { $n } entries are still being checked in the office and are not in this report.
}
block-on-lesion = Look at this block, or call us
block-on-lesion-line = Cow { $cow }, { $place }: the block may be on the claw with the lesion, { $lesion }

head-check = Held, corrected, to check
check-none = Nothing: every entry was complete and plausible.
held-n = { $n ->
    [one] { $n } entry is held until someone decides (`hornrule review`) and is in no report.
   *[other] { $n } entries are held until someone decides (`hornrule review`) and are in no report.
}
settled-n = { $n ->
    [one] { $n } entry was decided in the office.
   *[other] { $n } entries were decided in the office.
}
check-held = Held
check-flagged = In the reports; please check
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
    [one] One more remark in the database belongs to no known farm. Import the missing herd list.
   *[other] { $n } more remarks in the database belong to no known farm. Import the missing herd lists.
}
head-cautions = Cautions
