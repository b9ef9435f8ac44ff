# The day in the chute: sentences, drawing and key; the claw map. English.

head-day = The day in the chute
day-cows = { $n ->
    [one] One cow was in the chute.
   *[other] { $n } cows were in the chute.
}
day-listed = { $seen } of the { $listed } cows on the herd list were seen ({ $share }).
day-work = { $claws } trimmed to form, { $blocks } glued on.
blocks-n = { $n ->
    [one] { $n } block
   *[other] { $n } blocks
}
day-classes = { $examined } examined: { $new } with a new lesion, { $open } with one from before that is still open, { $sound } sound.
part-of = { $n } ({ $share })
day-not-examined = { $n ->
    [one] One was not examined.
   *[other] { $n } were not examined.
}
day-lame = Gait: { $lame } lame of { $scored } scored.

ribbon-piece = Cows { $from } to { $to } of the day
ribbon-one = Cow { $from } of the day
ribbon-alt = { $piece }, in the order of the chute. { $told }
ribbon-says = { $place }, cow { $cow }: { $what }
ribbon-new = new: { $what }
ribbon-open = from before: { $what }
ribbon-vet = for the vet
ribbon-no-mark = None has a mark.
key-field = How to read it: one field is one cow, from left to right as they came; the upper edge is her back, the lower edge her feet.
key-lame = Black arch with the score: lame; the higher, the lamer.
key-uneven = Light arch: scored, not lame.
key-new = Black notch: new lesion.
key-open = Hollow notch: lesion from before, still open.
key-deep = The deeper, the worse.
key-block = Dot: block glued on.
key-vet = Exclamation mark: for the vet.
key-unseen = Dashed: not examined.
about-ribbon = The same as a table: cows with a mark, in the order of the chute
column-place = No.
column-gait = Gait
column-blocks = Blocks
column-vet = Vet

claw-left-outer = left foot: outer
claw-left-inner = left foot: inner
claw-right-outer = right foot: outer
claw-right-inner = right foot: inner
claw-map-seen = The sole as you see it when the foot is lifted: toes down, heels up.
claw-map-card = Lifted foot as you see it: toes down.
claw-map-alt = The sole of a lifted foot, toes down, with the numbers of the zones. The left claw is the outer one of a left foot and the inner one of a right foot. { $zones }
zones-today = New and open lesions by zone: { $zones }.
zone-claws = zone { $zone }: { $claws }
