# Figures to print. English.

figure-key-band = curve, 95 % band
figure-key-between = between two looks: position unknown
figure-row-followed = followed
figure-method-curve = Curve: Turnbull's estimate, for times known only to lie between two looks. Band: 95 % at each day, percentile bootstrap over cows, each with all her data, { $draws } draws, seed { $seed }.
figure-left-out = Not drawn, for lack of cows (fewer than ten) or of space: { $what }.
figure-not-drawn = Not drawn, for lack of space: { $what }.

figure-blocks-title = Blocks still on, by way of gluing
figure-blocks-told = Falling curves: share of blocks still on, over six weeks from gluing. One panel per way of gluing, each with its band, the curve of the usual way, and the number of blocks followed, week by week.
figure-days-glued = days since gluing
figure-share-on = blocks still on
figure-key-usual = the usual way (10)
figure-blocks-n = { $code }: { $n } blocks of { $cows } cows, { $lost } found lost; still on after 28 days { $share }.
figure-blocks-test = { $code } against { $held }: interval-censored log-rank test, { $shuffles } shuffles, p = { $p } (Holm).
figure-caution-ways = The way of gluing was chosen, not randomised: cows treated one way may differ from cows treated another.
figure-drawn = drawn: { $what }
figure-caution-drawn = Drawn ways are shown as drawn, whatever was glued (intention to treat).

figure-healing-title = Lesions not yet healed
figure-healing-told = Falling curves: share of lesions not yet healed, over six weeks from finding. One panel per group, each with its band and the number of lesions followed, week by week.
figure-block-any-way = block glued on, any way
figure-days-found = days since finding
figure-share-open = not yet healed
figure-healing-n = { $what }: { $n } lesions of { $cows } cows, { $healed } seen healed; not yet healed after 28 days { $share }; half healed after { $days } days (Weibull).
figure-caution-healing = Healed means keyed as healed at a recheck. Treated and untreated cows differ for reasons not on record: this is how long healing took, not what caused it.

figure-growth-title = Growth of the dorsal wall, net of wear
figure-growth-told = Left: growth of each claw against months of growth; the mean and the spread between cows are straight lines through the origin. Right: the growth rate of each cow, in ascending order.
figure-growth-each = Every growth period
figure-growth-cows = Cow by cow
figure-months = months from one trimming to the next
figure-gained = growth, { $unit }
figure-cows = cows, slowest first
figure-slope = { $unit } per month
figure-key-gain = a claw
figure-key-cow = a cow
figure-key-mean = mean, 95 % interval
figure-key-mean-only = mean
figure-key-spread = 95 of 100 cows
figure-growth-n = Mean { $slope } { $unit } per month (95 % interval); { $cows } cows, { $gains } growth periods. Standard deviation between cows { $spread } { $unit } per month; 95 of 100 cows grow { $low } to { $high }.
figure-method-growth = Method: { $method }. The growth rate of a cow is her slope through the origin; the mixed model shrinks it towards the mean.
figure-caution-growth = Floor, pasture and season all affect growth. Lengths left out because a rule questions them: { $n }.

figure-agreement-title = Two people, the same claws
figure-agreement-told = Difference between two people's readings of a claw against their mean, with the mean difference and the limits of agreement, each with its interval. One panel per dimension.
figure-mean-of-two = mean of the two, { $unit }
figure-difference = first minus second, { $unit }
figure-bias = mean
figure-lower-limit = lower limit
figure-upper-limit = upper limit
figure-key-pair = a claw
figure-key-bias = mean difference
figure-key-limits = limits of agreement
figure-agreement-n = { $what }: { $n } claws. Mean difference { $bias } { $unit }; limits of agreement { $lower } and { $upper } { $unit } (95 % intervals, shaded).
figure-method-agreement = Method: Bland and Altman 1986; limits 1.96 standard deviations either side of the mean, Student's intervals, each claw counted as independent.
figure-caution-agreement = Each handheld is taken as one person. The agreement holds for these people, these cows and these days.

figure-gauge-title = Gauge block checks
figure-gauge-told = Calliper readings of the gauge block, check by check in time order, with the mean, the control limits and the range allowed.
figure-handheld = Handheld { $handheld }
figure-checks = checks in time order, { $first } to { $last }
figure-shown = reading, { $unit }
figure-mean = mean
figure-lower-control = lower limit
figure-upper-control = upper limit
figure-may-be = allowed
figure-key-check = a check
figure-key-control = control limits
figure-key-outside = outside the limits
figure-key-tolerance = block and tolerance
figure-gauge-n = { $handheld }: { $n } checks, mean { $mean } { $unit }, control limits { $low } to { $high } { $unit }, { $outside } outside.
figure-gauge-few = { $handheld }: { $n } checks are too few for control limits; eight are needed.
figure-method-gauge = Method: individuals chart; mean and three standard deviations, from moving ranges of two (3 / 1.128 times the mean range).
