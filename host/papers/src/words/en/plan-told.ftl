# What `hornrule plan` says on the terminal. English.

plan-told-title = plan for { $date }
plan-told-farm = farm { $key }
plan-told-cows = { $farm }: { $cows }, { $due } of them due
plan-told-drawn = drawn
plan-told-drawn-cows = which way a block is glued, for { $cows }; the handheld tells it when DO 10 is in flash
plan-told-order = order
plan-told-times = { $dimension } x{ $clips }
plan-told-blind = { $order } (blind: no length is warned of)
plan-told-starts = starts
plan-told-claws = hind feet: { $hind } claw; front feet: { $front } claw
plan-told-floor = floor
plan-told-floor-of = { $length }: { $cows }
plan-told-floor-none = none: { $cows }
plan-told-heels = heels
plan-told-heels-most = warned of if more than { $length } apart after trimming
plan-told-open = open
plan-told-open-cows = { $cows } with a lesion from before, asked after when she leaves
plan-told-regrown = regrown
plan-told-regrown-cows = most new horn to be expected is known: { $cows }
plan-told-gauge = gauge
plan-told-gauge-unknown = not known: `hornrule gauge`
plan-told-trial = trial { $way }
plan-told-loaded = loaded
plan-told-into = into handheld { $handheld }: plan { $number } ({ $name }), { $numbers } numbers, { $bytes } bytes; read back, clock set

plan-left-habits = the firmware of this handheld knows no bundles and starts at the outer claw of every foot; the plan is loaded without them. Update the firmware
plan-left-old = the firmware of this handheld cannot be told { $what }; the plan is loaded without. Update the firmware
plan-left-room = the handheld has no room for all of this plan: it is loaded without { $what }. Plan fewer farms to have all
plan-left-known = open lesions
plan-left-ways = drawn ways
plan-left-floors = floors and the limit for heels
plan-left-growth = how much horn can have regrown
plan-left-tags = the tags of cows that have a herd number
