# Figures to print. English.

figure-key-band = curve, 95 % band
figure-key-between = between two looks: not known where
figure-row-followed = followed
figure-method-curve = Curve: Turnbull's estimate for times known only between two looks. Band: 95 % at each day, percentile bootstrap of cows with all that is theirs, { $draws } draws, seed { $seed }.
figure-left-out = Not drawn, for want of cows (fewer than ten) or of room: { $what }.
figure-not-drawn = Not drawn for want of room: { $what }.

figure-blocks-title = Blocks still on, by way of gluing
figure-blocks-told = Falling curves of the share of blocks still on over six weeks from gluing. One plot a way of gluing, each with its band, the curve of the usual way, and the number of blocks followed week by week.
figure-days-glued = days since gluing
figure-share-on = blocks still on
figure-key-usual = the usual way (10)
figure-blocks-n = { $code }: { $n } blocks of { $cows } cows, { $lost } found lost; still on after 28 days { $share }.
figure-blocks-test = { $code } against 10: interval-censored log-rank test, { $shuffles } shuffles, p = { $p } (Holm).
figure-caution-ways = The way of gluing was chosen, not drawn by lot: cows glued one way may differ from those glued another.

figure-healing-title = Lesions not yet healed
figure-healing-told = Falling curves of the share of lesions not yet healed over six weeks from finding. One plot a group, each with its band and the number of lesions followed week by week.
figure-block-any-way = block glued on, any way
figure-days-found = days since finding
figure-share-open = not yet healed
figure-healing-n = { $what }: { $n } lesions of { $cows } cows, { $healed } seen healed; not yet healed after 28 days { $share }; half healed after { $days } days (Weibull).
figure-caution-healing = Healed is what was keyed at a recheck. Treated and untreated cows differ for reasons the records do not know: this is how long it took, not what made it heal.

figure-growth-title = Growth of the dorsal wall, net of wear
figure-growth-told = On the left, what each claw gained against the months it grew, with the mean and the spread of cows as rays from nought. On the right, each cow's own growth, in ascending order.
figure-growth-each = Every time of growing
figure-growth-cows = Cow by cow
figure-months = months from trimming to the next
figure-gained = gained, { $unit }
figure-cows = cows, the slowest first
figure-slope = { $unit } per month
figure-key-gain = a claw
figure-key-cow = a cow
figure-key-mean = mean, 95 % interval
figure-key-mean-only = mean
figure-key-spread = 95 of 100 cows
figure-growth-n = Mean { $slope } { $unit } per month (95 % interval); { $cows } cows, { $gains } times of growing. Cows differ by { $spread } { $unit } per month (standard deviation); 95 of 100 grow { $low } to { $high }.
figure-method-growth = Method: { $method }. A cow's own growth is her slope through nought; the mixed model draws it towards the mean.
figure-caution-growth = Floor, pasture and season are in it. Lengths left out because a rule doubts them: { $n }.

figure-agreement-title = Two people, the same claws
figure-agreement-told = The difference of two people's readings of a claw against their mean, with the mean difference and the limits of agreement, each with its interval. One plot a dimension.
figure-mean-of-two = mean of the two, { $unit }
figure-difference = first less second, { $unit }
figure-bias = mean
figure-lower-limit = lower limit
figure-upper-limit = upper limit
figure-key-pair = a claw
figure-key-bias = mean difference
figure-key-limits = limits of agreement
figure-agreement-n = { $what }: { $n } claws. Mean difference { $bias } { $unit }; limits of agreement { $lower } and { $upper } { $unit } (95 % intervals, shaded).
figure-method-agreement = Method: Bland and Altman 1986; limits 1.96 standard deviations on either side of the mean, Student's intervals, each claw counted as one.
figure-caution-agreement = Two handhelds are taken as two people. Agreement is of these people, these cows and these days.

figure-gauge-title = Checks of the gauge block
figure-gauge-told = What the calliper showed of the gauge block, check by check in the order of time, with the mean, the control limits and what the block may be read as.
figure-handheld = Handheld { $handheld }
figure-checks = checks in the order of time, { $first } to { $last }
figure-shown = shown, { $unit }
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
figure-method-gauge = Method: chart of single readings, mean and three standard deviations from moving ranges of two (3 / 1.128 mean ranges).
