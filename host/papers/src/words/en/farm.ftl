# A farm over time. English.

farm-title = { $farm }: feet over time
farm-days = { $from } to { $through }
farm-nothing = No cow was recorded in the chute on these days.
farm-no-lesion = No lesion was found.
farm-visits = Visits
farm-trimmed = Cows trimmed
farm-examined = Cows examined
farm-of-listed = { $cases } of { $listed } on the list ({ $share })
farm-with-lesion = Of them with a lesion
farm-new = New cases
farm-again = Cases again

head-mind = Before you compare
mind-mostly-lame = More than half of the cows scored were lame in { $months }. Such months show how the lame cows were, not the herd: do not hold them against others.
mind-chosen = Other cows were brought: of those scored, { $low_share } were lame in { $low } and { $high_share } in { $high }, further apart than chance explains. That alone can move the share of lesions.
mind-more-eyes = More handhelds than in other months recorded findings in { $months }. More people looking find more, slight lesions above all.
mind-not-scored = No cow was scored for gait in { $months }, so nobody can say how the cows were chosen.
mind-few = Fewer than { $n } cows were examined in { $months } (hollow dots). Chance alone can move such a share by twenty points.
mind-half-unseen = Only { $cases } of { $listed } cows on the herd list were trimmed ({ $share }). Of the others this page knows nothing.
mind-no-list = The office has no herd list of this farm, so nobody can say what part of the herd was seen (`hornrule herd import`).
mind-always = Cows are not chosen at random: they come in turn, because they are lame, or for a recheck. Shares are of the cows that came.

head-months = Month by month
about-months = Cows and claws with a lesion by month
column-month = Month
column-cows-examined = Cows examined
column-of-them-sore = of them with a lesion
column-claws-examined = Claws examined
column-of-them-horn = of them with a horn lesion
column-new = New
column-again = Again
row-all-days = All
too-few-cows = { $n } (too few cows)
note-months = Cows examined: those with a finding or work on a foot in the month, each once; with a lesion if one was new or still open on a visit day. Claws likewise; only lesions of the horn, because those of the skin belong to the foot. In brackets the 95 % interval: for cows Wilson's; for claws Wilson's at the effective number, because claws of one cow are alike. With fewer than { $least } cows there is no share.
note-all-days = The last row counts each cow once over all days. More days find more cows with a lesion, so it is no mean of the months.
note-not-examined = { $n ->
    [one] One cow in the chute was not examined; she is in no share.
   *[other] { $n } cows in the chute were not examined; they are in no share.
}
note-cases = A case is one lesion on one claw (of the skin: on one foot). Again: she had the same lesion there before, and it was healed or sound in between or not spoken of for more than { $days } days. Found again sooner it is the same case and not counted twice. All others are new. Records begin on { $begin }; what a cow had before that counts as new.
below-cows = cows
below-claws = claws
caption-cows-by-month = Cows with a lesion, of the cows examined. The line shows how far each share can be trusted (95 %).
caption-claws-by-month = Claws with a lesion of the horn, of the claws examined (95 %).
caption-lesion-by-month = Cows with { $lesion }, of the cows examined (95 %).

head-which = Which lesions
about-which = Lesions of these days, the most cases first
about-frequent = Share of cows with each lesion by month
column-cows-with = Cows with it
column-letters = Letters
column-percent = Percent
column-low = from
column-high = to
note-which = Of the cows examined; in brackets the 95 % interval (Wilson). The table by month has the lesions with the most cases; the CSV has all.

head-healing = From finding to healed
healing-none = No lesion of a claw was found that is followed.
about-healing = How long lesions took, by severity and by lesion
column-cases-found = Found
column-seen-again = Seen again
column-healed = Healed
column-half-healed = Half healed after
column-still-open = Open after 28 days
all-of-grade = severity: { $grade }
days-with-range = { $days } days ({ $low } to { $high })
days-from = { $days } days ({ $low } or more)
too-few-healed = too few: { $n } seen healed, { $least } needed
no-curve = no curve fits what was seen
note-healing = Lesions of claws found on these days; 95 % intervals in brackets. Nobody looks between two visits, so a healing lies somewhere between two looks: days and shares come from a Weibull curve for such times. It says how long it took, not what made it heal: treated and untreated cows differ for reasons that no record knows.

head-blocks = Blocks and what became of them
blocks-none = No block was glued on these days.
about-blocks = Blocks by way of gluing
column-way = Way
column-glued = Glued
column-lost = Found lost
column-at-recheck = On at the first recheck
column-after28 = On after 28 days
too-few-lost = too few: { $n } found lost, { $least } needed
too-few-rechecked = too few seen then
below-glued = days since gluing
caption-block-curve = { $way }: share still on. Steps: what was seen (Turnbull), while five or more blocks were followed. Band: 95 % of a smooth curve (Weibull).
note-blocks = A block that nobody saw again says nothing and is in no share. First recheck: 10 to 20 days after gluing; the interval allows for blocks of one cow being alike. After 28 days: from the smooth curve. `hornrule blocks` compares the ways of gluing.

head-coverage = How much of the herd was trimmed
about-coverage = Cows trimmed by month, of the herd list
column-in-chute = In the chute
column-trimmed-then = Trimmed that month
column-trimmed-so-far = Trimmed so far
note-coverage = Of the { $n } cows on the herd list today. It is the whole list and no sample, so there is no interval. Cows that left since then are not counted.

head-gait = Gait
gait-none = No cow was scored for gait on these days, so nothing can be said about lameness.
about-gait = { $scale }: how many cows had each score, by month
column-scored = Cows scored
note-gait = Scale: { $scale }. Each cow once a month, with her worst score; in the last row once in all. Lame from { $lame } on. Cows that limp are brought more often.
