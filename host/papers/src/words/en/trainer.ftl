# The trainer's screen, its lists and the timed day. English.

train-title = hornrule practise: { $lesson }
train-which = { $at } of { $of }
train-say = Say
train-shown = Keys that say it
train-keys = Keys, and what to type
train-heard = Heard, seen, felt
train-seen = Seen, felt (no sound here)
train-flash = In flash
train-right = Right
train-wrong = What went wrong
train-goes-on = { $figures }. Any key goes on.
train-hint = Space calliper  Tab keys  H sentences  N next  Esc end  Backspace UNDO
train-sentences = Sentences { $at } of { $of }: H goes on
train-key-foot = foot
train-key-clip = clip
train-small = Please make this window { $width } by { $height } or larger.
train-green = green
train-amber = amber
train-red = red
train-times = { $said } x{ $n }
train-line-heard = heard
train-line-flash = in flash
train-line-slip = slip
train-line-given = keyed before
train-line-keys = keys
train-verdict-right = right     { $figures }
train-verdict-not-yet = not yet   { $figures }
train-verdict-waiting = waiting for the first key
train-seconds = { $s } s
train-strokes = { $n ->
    [one] 1 stroke
   *[other] { $n } strokes
}
train-strokes-longer = { $strokes } (shortest: { $shortest })
train-slips = { $n ->
    [one] 1 slip
   *[other] { $n } slips
}
train-total = { $n ->
    [one] 1 exercise: { $right } right, { $clean } without a slip
   *[other] { $n } exercises: { $right } right, { $clean } without a slip
}
train-lesson-row = { $n ->
    [one] 1 exercise: { $about }
   *[other] { $n } exercises: { $about }
}
train-mute = Cues are only seen: none of these programs played a sound here: { $tried }
train-no-terminal = practising needs a terminal; open one, or give the keys with --keys
train-not-all = the keys ended before the last exercise was right
train-left-over = { $n } keys are left over after the last exercise; ask for more exercises with --count
train-cows = cows
train-about-cows = a cow comes and goes; a farm begins
train-findings = findings
train-about-findings = each lesion with its grade, on claw or foot; sound claws
train-zones = zones
train-about-zones = lesions away from their usual zone
train-actions = actions
train-about-actions = each action, on claw, foot or cow
train-lengths = lengths
train-about-lengths = each dimension with the calliper
train-scores = scores
train-about-scores = each scale
train-corrections = corrections
train-about-corrections = UNDO inside and after a sentence, of a bundle, a wrong claw
train-feet = feet
train-about-feet = all four feet in one sentence, or one of them
train-bundles = bundles
train-about-bundles = each bundle of the plan
train-order = order
train-about-order = the claw where work starts, as the plan says it, and its partner
train-whole-cows = whole cows
train-about-whole-cows = everything that belongs to one cow
train-day = the day
train-about-day = ten cows, timed: hornrule practise --day

# The ten kinds of cow of the timed day, as on the page of sentences.
train-kind-hind = plain, two hind feet
train-kind-four = plain, four feet
train-kind-walls = four feet, hind walls measured
train-kind-sound = sound, not trimmed
train-kind-erosion = heel erosion, both hind outer claws
train-kind-dermatitis = digital dermatitis, cleaned, treated, wrapped
train-kind-ulcer = sole ulcer with a block
train-kind-abscess = white line abscess with a block
train-kind-recheck = recheck
train-kind-healed = healed, block off
train-day-head = cow | presses | shortest | seconds | slips
train-day-undone = not done
train-day-shown = * keys were shown
train-day-total = { $done } of { $of } cows done: { $presses } presses (shortest: { $shortest }), { $seconds } s, { $slips } slips
train-day-each = a cow: { $presses } presses, { $seconds } s; the quickest { $least } s, the slowest { $most } s
train-day-notebook = the notebook takes { $least } to { $most } s a cow (common practice, no source): { $quicker } quicker than that, { $within } within it, { $slower } slower
train-day-eighty = a day of 80 cows in the shares of the page of sentences, at your pace: { $presses } presses, { $minutes } min of keying
train-day-honest = A cow's time is from her first key to her last word in flash. A computer's keys are seen, dry and bare-handed: with gloves, by touch, beside the cow, it takes longer; how much was not measured.
train-day-scripted = The keys were given, not pressed: the seconds are the virtual handheld's, which takes 0.23 s a key, and say nothing of a hand.

# Its help, where it is not the command line's own.
train-help = Learn the handheld's keys on a virtual handheld in this terminal

    Usage: hornrule practise [OPTIONS]
train-option-lesson = only this lesson
train-option-day = a timed day of ten cows
train-option-count = number of exercises (10)
train-option-seed = to get the same exercises again
train-option-language = language of exercises, answers and help
train-option-list = list the lessons; with --lesson or --day, the exercises and their keys
train-option-keys = keys to press for you
train-option-mute = play no cues
train-option-log = CSV file to add a line to for each exercise
train-option-json = as JSON, for scripts (with --keys)
train-option-help = this help
