# The sheet of a day's plan. English.

plan-title = Plan for { $date }
plan-key = At each farm key COW 0, the key of the farm, COW. The keys are those of this plan only.
plan-none-due = { $cows }, nothing due
plan-due = { $cows }, { $due } due
plan-number = Plan { $number }
plan-about = What is due, by farm and cow
plan-group = Farm
plan-farm = { $key }: { $farm }
plan-vet = vet
plan-do-not-trim = do not trim
plan-recheck = recheck { $feet }
plan-block-off = block or wrap off { $feet }
plan-trim = trim { $feet }
plan-whole-cow = trim or look at
plan-drawn = Drawn for { $cows }: which way a block is glued. Key DO 10 before gluing; the handheld then tells the way.
