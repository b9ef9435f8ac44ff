# Texts that several pages share. English.

page-of = Page { $page } of { $pages }
made-by = Made by hornrule { $version }
one-or-more-cows = { $n ->
    [one] { $n } cow
   *[other] { $n } cows
}
claws-n = { $n ->
    [one] { $n } claw
   *[other] { $n } claws
}
feet-n = { $n ->
    [one] { $n } foot
   *[other] { $n } feet
}
days-n = { $n ->
    [one] { $n } day
   *[other] { $n } days
}
in-days = in { $days }
x-of-y = { $x } of { $y }
share-with-range = { $share } ({ $low } to { $high })

head-caution-vet = Call the vet now
caution-vet = for a cow that is down or has fever; for swelling above the coronet on one side; for pus from a joint or tendon sheath; for bone in sight, a dying toe or a suspected fracture; and for severe pain that a block does not ease. Waiting makes her suffer.
head-caution-medicines = Medicines
caution-medicines = follow the label and the prescribing vet on what is given, how much, and how long milk and meat are withheld. This page says none of that. Local rules say who may treat.
head-caution-hygiene = Before the next farm
caution-hygiene = wash and disinfect chute, knives, grinder discs, gloves, and the handheld and calliper too. Trim clean animals first. Feet that look healthy can carry infection.
head-caution-tools = Knife, block and grinder
caution-tools = are the trimmer's decision. Stop at blood or live tissue. Secure the limb, keep the guard on, protect eyes and ears, and never reach for the handheld while the disc spins.
head-caution-numbers = Numbers support judgement
caution-numbers = and do not replace it. They count what was keyed, for the cows that were in the chute; cows that were not brought are missing from them.
