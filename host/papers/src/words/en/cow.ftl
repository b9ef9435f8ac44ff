# A cow's history, and the letter to the vet. English.

cow-title = Cow { $cow }, { $farm }
cow-born = Born { $date }.
cow-tag = Tag { $tag }.
cow-never = She was never recorded in the chute.
cow-due = What is due
cow-due-line = { $date }, { $place }: { $what } ({ $why })
cow-days = Her feet, the last day first
cow-over-time = Over time
caption-area = { $place }: lesion area in mm².
caption-wall = { $place }: dorsal wall length in { $unit }.
note-area = Lesion area is length times width times π/4, as of an ellipse.
note-walls = Dorsal wall: the last reading of a day before trimming (hollow) and after it (full), each a line of its own; what is between them was cut away. A broken line is the farm's target.

cow-cases = Her cases
about-cases = Lesions from found to healed, the last found first
column-found-on = Found on
column-last-seen = Last mentioned
column-now = Now
case-open = open
case-healed = healed { $date }
case-sound = sound { $date }
case-out-of-sight = not mentioned for { $days } days
case-replaced = found anew { $date }
case-again = again
case-series = { $lesion }, found { $date }

letter-title = To the vet, about cows of { $farm }
letter-opening = These cows were seen at claw trimming and are referred to you. What is written below is what was keyed at the chute; a trimmer makes no diagnosis.
letter-nobody = No cow of this visit was referred, and no rule asks for the vet.
letter-findings = What was found and done
letter-medicines = Products and pain relief stand here only where a person keyed them, without product name, dose or withdrawal time.
