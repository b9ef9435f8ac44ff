# A cow's history. English.

cow-title = Cow { $cow }, { $farm }
cow-born = Born { $date }.
cow-tag = Tag { $tag }.
cow-never = She has never been recorded in the chute.
cow-due = What is due
cow-due-line = { $date }, { $place }: { $what } ({ $why })
cow-days = Her feet, latest day first
cow-over-time = Over time
caption-area = { $place }: lesion area in mm².
caption-wall = { $place }: dorsal wall length in { $unit }.
note-area = Lesion area is length times width times π/4, the area of an ellipse.
note-walls = Dorsal wall: the last reading of each day before trimming (hollow) and after it (solid), on separate lines; the gap is what was trimmed off.
note-walls-target = The dashed line is the farm's target.

cow-cases = Her cases
about-cases = Lesions from found to healed, latest first
column-found-on = Found
column-last-seen = Last recorded
column-now = Now
case-open = open
case-healed = healed { $date }
case-sound = sound { $date }
case-out-of-sight = not recorded for { $days } days
case-replaced = found again { $date }
case-again = recurrence
case-series = { $lesion }, found { $date }
