# A farm over time. English.

farm-title = { $farm }: feet over time
farm-days = { $from } to { $through }
farm-nothing = No cow was recorded in the chute in this period.
farm-no-lesion = No lesion was found.
farm-visits = Visits
farm-sum-visits = { $n ->
    [one] One visit.
   *[other] { $n } visits.
}
farm-sum-trimmed = { $n ->
    [one] One cow trimmed.
   *[other] { $n } cows trimmed.
}
farm-sum-trimmed-listed = { $n ->
    [one] One cow trimmed; { $listed }.
   *[other] { $n } cows trimmed; { $listed }.
}
farm-sum-examined = { $examined } cows examined, { $lesion } with a lesion.
farm-sum-examined-share = { $examined } cows examined, { $lesion } with a lesion: { $share }.
farm-sum-cases = Cases: { $new } new, { $again } recurrent.
farm-sum-blocks = { $blocks } glued on.
farm-of-listed = { $cases } of { $listed } on the list ({ $share })

head-mind = Before you compare
mind-mostly-lame = More than half of the cows scored were lame in { $months }. Such months show the lame cows, not the herd: do not compare them with others.
mind-chosen = The cows brought were different: of those scored, { $low_share } were lame in { $low } and { $high_share } in { $high }, a larger gap than chance explains. That alone can shift the share of lesions.
mind-more-eyes = More handhelds recorded findings in { $months } than in other months. More people looking find more, slight lesions above all.
mind-not-scored = No cow was scored for gait in { $months }, so nobody can say how the cows were chosen.
mind-few = Fewer than { $n } cows were examined in { $months } (hollow dots). Chance alone can shift such a share by twenty points.
mind-half-unseen = Only { $cases } of { $listed } cows on the herd list were trimmed ({ $share }). This page knows nothing about the others.
mind-no-list = The office has no herd list for this farm, so nobody can say how much of the herd was seen.
mind-always = Cows are not chosen at random: they come in turn, because they are lame, or for a recheck. Shares are of the cows that came.

head-months = Month by month
about-months = Cows and claws with a lesion by month
column-month = Month
column-cows-examined = Cows examined
column-of-them-sore = with a lesion
column-claws-examined = Claws examined
column-of-them-horn = with a horn lesion
column-new = New
column-again = Recurrent
row-all-days = All
too-few-cows = { $n } (too few cows)
note-months = Cows examined: cows with a finding or foot work in the month, each counted once. With a lesion: one was new or still open on a visit day. The same for claws, but only for horn lesions; skin lesions belong to the foot. In brackets, the 95 % interval: Wilson for cows; for claws, Wilson at the effective number, because claws of one cow are alike. With fewer than { $least } cows, no share is given.
note-all-days = The last row counts each cow once over the whole period. More days find more cows with a lesion, so this row is not the mean of the months.
note-not-examined = { $n ->
    [one] One cow in the chute was not examined and is in no share.
   *[other] { $n } cows in the chute were not examined and are in no share.
}
note-cases = A case is one lesion on one claw (for the skin, on one foot). Recurrent: she had the same lesion in the same place before, and in between it healed, was keyed sound, or went unrecorded for more than { $days } days. Found again sooner, it is the same case and is not counted twice. All others are new. Records begin on { $begin }; a lesion she already had then counts as new.
below-cows = cows
below-claws = claws
caption-cows-by-month = Cows with a lesion, of the cows examined. The bar is the 95 % interval.
caption-claws-by-month = Claws with a horn lesion, of the claws examined (95 %).
caption-lesion-by-month = Cows with { $lesion }, of the cows examined (95 %).

head-which = Which lesions
about-which = Lesions in this period, most cases first
about-frequent = Share of cows with each lesion by month
column-cows-with = Cows with it
column-letters = Code
column-percent = Percent
column-low = from
column-high = to
note-which = Of the cows examined; 95 % intervals in brackets (Wilson). The table by month has the lesions with the most cases; the CSV has them all.

head-healing = From finding to healed
healing-none = No lesion found on a claw can be followed.
about-healing = How long lesions took to heal, by severity and by lesion
column-cases-found = Found
column-seen-again = Rechecked
column-healed = Healed
column-half-healed = Half healed after
column-still-open = Open after 28 days
all-of-grade = severity: { $grade }
days-with-range = { $days } days ({ $low } to { $high })
days-from = { $days } days ({ $low } or more)
too-few-healed = too few: { $n } seen healed, { $least } needed
no-curve = no curve fits the data
note-healing = Claw lesions found in this period; 95 % intervals in brackets. Nobody looks between visits, so each healing falls somewhere between two looks; days and shares come from a Weibull curve for such data. It says how long healing took, not what caused it: treated and untreated cows differ for reasons that are not on record.

head-blocks = Blocks, and what became of them
blocks-none = No block was glued on in this period.
about-blocks = Blocks by way of gluing
column-way = Way
column-glued = Glued
column-lost = Found lost
column-at-recheck = On at first recheck
column-after28 = On after 28 days
too-few-lost = too few: { $n } found lost, { $least } needed
too-few-rechecked = too few rechecked
below-glued = days since gluing
caption-block-curve = { $way }: share still on. Steps: as observed (Turnbull), while five or more blocks were followed. Band: 95 % of a smooth curve (Weibull).
note-blocks = A block that nobody saw again tells nothing and is in no share. First recheck: 10 to 20 days after gluing; the interval allows for blocks of one cow being alike. After 28 days: from the smooth curve.

head-coverage = How much of the herd was trimmed
about-coverage = Cows trimmed by month, of the herd list
column-in-chute = In the chute
column-trimmed-then = Trimmed that month
column-trimmed-so-far = Trimmed so far
note-coverage = Of the { $n } cows on the herd list today. This is the whole list, not a sample, so there is no interval. Cows that have left are not counted.

head-gait = Gait
gait-none = No cow was scored for gait in this period, so nothing can be said about lameness.
about-gait = { $scale }: number of cows at each score, by month
column-scored = Cows scored
note-gait = Scale: { $scale }. Each cow counts once a month, at her worst score; in the last row, once in all. Lame from { $lame }. Lame cows are brought more often.
