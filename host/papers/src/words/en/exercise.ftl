# The trainer's exercises, and what it says of them. English.

# Places, and what stands in flash.
said-cow-herself = the cow
said-foot = { $foot } foot
said-claw-outer = { $foot }, outer claw
said-claw-inner = { $foot }, inner claw
said-all-feet = all four feet
said-both-claws = both claws of the { $foot } foot
said-visit = visit to farm { $farm }
said-cow = cow { $number }
said-tag = cow with tag { $tag }
said-left = the cow left
said-reading = { $what } { $length } mm, { $place }
said-reading-inches = { $what } { $length } mm, { $place }, calliper set to inches
said-found = { $lesion }, { $place }
said-graded = { $lesion }, { $grade }, { $place }
said-in-zone = { $found }, zone { $zone }
said-done = { $action }, { $place }
said-done-days = { $action } in { $days } days, { $place }
said-score = { $scale } score { $value }
said-bundle = { $n ->
    [one] bundle { $bundle } of the plan, 1 part
   *[other] bundle { $bundle } of the plan, { $n } parts
}

# What is asked.
ask-here = { $cow } is in the chute.
ask-comes = { $cow } comes into the chute.
ask-next = { $cow } comes in.
ask-leaves = She leaves.
ask-farm = You arrive at farm { $farm } of the day's plan.
ask-found = { $place }: { $lesion }
ask-graded = { $place }: { $lesion }, { $grade }
ask-staged = { $place }: { $lesion }, stage { $grade }
ask-in-zone = { $found }, in zone { $zone } ({ $region })
ask-done = { $place }: { $action }
ask-done-days = { $place }: { $action } in { $days } days
ask-recheck = At the recheck: { $done }
ask-gauge = Before the first cow: check the calliper on the gauge block.
ask-measure = { $place }: measure { $what } ({ $landmarks }).
ask-score = Her { $scale } score is { $value }.
ask-score-herself = { $scale } score { $value }.
ask-bundle = Then do what bundle { $bundle } does: { $parts }.
ask-part-this = { $code } this
ask-part-partner = { $code } partner
ask-part-foot = { $code } foot
ask-part-cow = { $code } cow
ask-part-days = { $part }, { $days } days
ask-all-feet = All four feet are trimmed to form, and sound.
ask-all-feet-but = All four feet are trimmed to form; the other claws are sound.
ask-one-foot = Only the { $foot } foot is trimmed to form, both claws.
ask-hind-feet = Both hind feet are trimmed to form.
ask-not-trimmed = All four feet are looked at, none is trimmed.
ask-starts = Work starts at hind feet with the { $hind } claw, at front feet with the { $front } claw.
ask-walls = { $foot } foot: measure the front wall of both claws, in the order of the work.
ask-partner-block = A block on the partner claw, the usual way.
ask-blocked = Loose horn opened and removed, block glued on the partner claw the usual way. See the foot again in 14 days.
ask-wrapped = Cleaned, wrap put on. See the foot again in 7 days.
ask-comes-recheck = { $cow } comes in for her recheck.
ask-healed = { $place }: healed, sound horn over all of it. The block on the partner claw is taken off by us.
ask-comes-scored = { $cow } comes in, locomotion score { $value }.
ask-claws-trimmed = { $foot } foot: outer and inner claw trimmed to form.

# The cows of the timed day.
ask-day-feet = All four feet trimmed, else sound.
ask-hind-walls = Front walls of both claws of both hind feet are measured.
ask-cleaned = Cleaned, treated, wrapped.
ask-opened = Loose horn opened, claw lowered, the usual block on the partner claw.
ask-opened-again = Loose horn opened, claw lowered, the usual block on the partner claw. See the foot again in 14 days.
ask-better = Better. Left open; the block on the partner claw is still on.

# Slips to be put right.
slip-cow = You keyed { $was }, but it is { $is }. Take it back, and say it right.
slip-grade = You said { $was }, but the { $lesion } is { $is }. Take it back, and say it right.
slip-claw-outer = You said the block is on the outer claw, the sick one; it is on the partner claw. Put it right.
slip-claw-inner = You said the block is on the inner claw, the sick one; it is on the partner claw. Put it right.
slip-half = { $cow }, { $place }. You keyed FIND 1, but the claw is sound. Drop what is half said, and say: looked at, sound.
slip-feet = You said all four feet are trimmed, but it was the { $foot } foot alone. Take it back, and say it right.
slip-bundle = You keyed bundle { $bundle }, but it was only this: { $done }. One UNDO takes all of the bundle back. Put it right.

# What went wrong.
wrong-take-back = UNDO takes it back.
wrong-undo-both = { $said } is right, but something before it is not: UNDO both.
wrong-not-asked = Not asked for: { $said }.
wrong-cow = Keyed was cow { $was }; asked is cow { $asked }.
wrong-farm = Keyed was farm { $was }; asked is farm { $asked }.
wrong-what = Keyed was { $was }; asked is { $asked }.
wrong-value = Keyed was the value { $was }; asked is { $asked }.
wrong-place = That went to: { $was }; asked is: { $asked }.
wrong-claw = The foot key again changes the claw.
wrong-severity = Keyed was severity { $was }; asked is { $asked }.
wrong-stage = Keyed was stage { $was }; asked is { $asked }.
wrong-usual-zone = the usual zone
wrong-zone = zone { $zone }
wrong-days = Keyed was { $was } days; asked is { $asked }.
wrong-dimension = The length went to { $was }; asked is { $asked } (SIZE { $code }).
wrong-left-half = Left half said for 15 seconds: dropped.
wrong-no-length = The calliper gave no length: clip again.

# Why the handheld refused.
refused-no-cow = No cow is in the chute: say COW, her number, COW first.
refused-no-claw = No foot is chosen: press LF, RF, LH or RH first.
refused-no-lesion = No lesion has this code.
refused-no-action = No action has this code.
refused-no-bundle = The plan has no bundle of this number, or no foot is chosen for it.
refused-misfit = { $key } does not fit there. What was half said is dropped: say it from its start.
refused-nothing-to-tell = There is nothing to tell: no cow, or no foot that is due or to be measured.
refused-undo = There is nothing of this cow to take back.
refused-digit = A digit begins no sentence: begin with COW, a foot, FIND, DO, SIZE or SCORE.
refused-long = No number has more than 15 digits.
refused-zone = Zones go from 00 to 12.
refused-days = See again in 00 days says nothing.
refused-scale = No scale has this digit.
refused-value = { $scale } goes from { $low } to { $high }.
refused-leaves = No cow is in the chute that could leave.
refused-farm = Farms have the digits 1 to 9.
refused-zero = A herd number has no zero before it; 0 and one digit is a farm.
refused-digits = A herd number has 1 to 9 digits; a tag number has 15, country before it.
refused-nobody = No cow is called so.
refused-severity = { $lesion }: the last digit is the severity: { $digits }.
refused-stage = { $lesion }: the last digit is the stage: { $digits }.
refused = The handheld did not take it.
