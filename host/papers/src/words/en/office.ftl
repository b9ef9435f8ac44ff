# The office page of a visit, and what is looked at before the farm goes home. English.

office-title = { $farm }: for the office
office-clock = Clock
clock-kept = The handheld's clock was set: all times are measured.

head-before-home = Before the farm goes home
notices-none = Nothing to look at again.
notice-block = Block on the claw with the lesion
notice-block-line = Cow { $cow }, { $place }: { $lesion }; block on since { $date }
notice-block-note = A block relieves the sore claw only from the partner claw. Look at the foot; if only the entry is wrong, correct it (`hornrule review`).
notice-wrap = Wrap on an ulcer: the evidence is mixed
notice-wrap-line = Cow { $cow }, { $place }: { $lesion }
notice-wrap-note = For information, not as advice: in one comparison, { $bare } of { $bare_of } sole ulcers healed without a bandage and { $wrapped } of { $wrapped_of } with one (abstract, bib.vetmed.fu-berlin.de). It is one small comparison. A wrap left on can harm.
notice-short = Short toes after trimming
notice-short-farm = Cow { $cow }, { $place }: { $length }; the farm's target is { $target }
notice-short-holstein = Cow { $cow }, { $place }: { $length }; target for mature Holsteins { $target }
sole-of-short = sole at the toe { $sole } on average of hind claws shorter than { $wall }
sole-about = sole at the toe about { $sole }
sole-pair = { $wall } of wall, { $sole } of sole
notice-short-note = Sole at the toe of hind claws by the length of the wall: inner claw { $inner }; outer claw { $outer }; straight lines between (means of 800 untrimmed claws, computed tomography, Tsuka et al. 2014). A single claw differs, and no length is safe for every cow.
notice-regrown = More new horn than can form
notice-regrown-line = Cow { $cow }, { $place }: { $length } after { $days }; at most { $most } can form
notice-regrown-note = New horn forms at 1/8 inch (3.2 mm) in two weeks at best (common practice, no source). Was loose horn left on, or another length measured?

head-missing = Settings that are missing
missing-none = Nothing: addresses, vet and target are set.
missing-practice = Your own name, address and phone, for letters: [practice] in `hornrule.toml`.
missing-address = The farm's address: `hornrule herd set --address`.
missing-vet = The farm's vet: `hornrule herd set --vet`.
missing-target = A target for the dorsal wall after trimming: `hornrule herd set --target`. Without one, only mature Holsteins are held against { $target }.
