# The day in the chute: sentences, drawing and key; the claw map. German; written from memory, wants a
# check by a native trimmer.

head-day = Der Tag im Stand
day-cows = { $n ->
    [one] Eine Kuh war im Stand.
   *[other] { $n } Kühe waren im Stand.
}
day-listed = { $seen } von { $listed } Kühen der Herdenliste wurden gesehen ({ $share }).
day-work = { $claws } geschnitten, { $blocks } geklebt.
blocks-n = { $n ->
    [one] { $n } Klotz
   *[other] { $n } Klötze
}
day-classes = { $examined } untersucht: { $new } mit neuem Befund, { $open } mit einem früheren, noch offenen, { $sound } ohne.
part-of = { $n } ({ $share })
day-not-examined = { $n ->
    [one] Eine wurde nicht untersucht.
   *[other] { $n } wurden nicht untersucht.
}
day-lame = Gang: { $lame } lahm von { $scored } beurteilten.

ribbon-piece = Kühe { $from } bis { $to } des Tages
ribbon-one = Kuh { $from } des Tages
ribbon-alt = { $piece }, in der Reihenfolge im Stand. { $told }
ribbon-says = { $place }, Kuh { $cow }: { $what }
ribbon-new = neu: { $what }
ribbon-open = von früher: { $what }
ribbon-vet = für den Tierarzt
ribbon-no-mark = Keine hat ein Zeichen.
key-field = Zum Lesen: ein Feld ist eine Kuh, von links, wie sie kamen; obere Kante: Rücken, untere: Füße.
key-lame = Schwarzer Bogen mit der Note: lahm; je höher, desto lahmer.
key-uneven = Heller Bogen: beurteilt, nicht lahm.
key-new = Schwarze Kerbe: neuer Befund.
key-open = Hohle Kerbe: früherer Befund, noch offen.
key-deep = Je tiefer, desto schlimmer.
key-block = Punkt: Klotz geklebt.
key-vet = Ausrufezeichen: für den Tierarzt.
key-unseen = Gestrichelt: nicht untersucht.
about-ribbon = Dasselbe als Tabelle: Kühe mit einem Zeichen, in der Reihenfolge im Stand
column-place = Nr.
column-gait = Gang
column-blocks = Klötze
column-vet = Tierarzt

claw-left-outer = linker Fuß: außen
claw-left-inner = linker Fuß: innen
claw-right-outer = rechter Fuß: außen
claw-right-inner = rechter Fuß: innen
claw-map-seen = Die Sohle, wie man sie am aufgehobenen Fuß sieht: Spitzen unten, Ballen oben.
claw-map-card = Aufgehobener Fuß: Klauenspitzen unten.
claw-map-alt = Die Sohle eines aufgehobenen Fußes, Klauenspitzen unten, mit den Nummern der Zonen. Die linke Klaue ist am linken Fuß die äußere und am rechten Fuß die innere. { $zones }
zones-today = Neue und offene Befunde nach Zonen: { $zones }.
zone-claws = Zone { $zone }: { $claws }
