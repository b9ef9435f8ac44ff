# Duties: who does them, how late they are, what is told once. English.

why-one-sided = swelling above one claw only
why-bone-or-joint = bone or joint in sight
why-gait = hardly walks: the last score of its scale
why-worse = worse
why-unanswered = open since an earlier day, and no answer from the vet
why-office = asked at the chute
what-office = look at her in the office
who-trimmer = trimmer
who-farmer = farmer
who-vet = vet
who-office = office
overdue-by = overdue by { $days }
harm-block = { $days } too long: harms the claw that carries it
harm-wrap = { $days } too long: harms the skin under it
due-at = { $place }: { $what }
due-practice = { $name }, phone { $phone }
due-practice-name = { $name }
due-practice-phone = Phone { $phone }
due-ask = What you did yourself, who was sold or died, and what the vet said: please tell us.
due-past = { $date }, { $farm }: { $n ->
    [one] one cow overdue
   *[other] { $n } cows overdue
}
head-never-brought = Not brought
due-never-note = Cows that were due and were not brought { $n } times or more. Each is told once, with what she had.
about-never-brought = Cows that were due and not brought
head-back = Noted as gone, and in the chute later
due-back = { $cow } of { $farm }: noted as { $how } on { $date } ({ $who }: { $why }), in the chute on { $seen }. She is on the list again. If it was another cow, take the note back with hornrule due done --take-back.
gone-sold = sold
gone-dead = dead
column-farm = Farm
column-date = Date
column-due-day = Due
column-overdue = Days overdue
column-group = Group
column-name = Name
column-who = Who
column-rule = Rule
column-since = Due since
column-not-brought = Not brought
head-left-on = Left on too long
farm-left-on = At the end of the last visit, { $date }:
farm-left-on-line = { $cow }, { $place }: { $what }, { $late }
