# The report of a visit. German, as claw trimmers say it; written from memory, wants a check by a
# native trimmer.

visit-title = { $farm }: Klauenpflege
visit-recorded-by = { $date }. Aufgezeichnet mit Gerät { $handhelds }.
visit-vet-now = Sofort zum Tierarzt
visit-vet-to-see = Tierarzt soll ansehen
visit-vet-none = Für den Tierarzt wurde nichts getippt, und keine Regel verlangt ihn.
visit-line-of-cow = Kuh { $cow }, { $place }: { $why }
visit-line-of-cow-only = Kuh { $cow }: { $why }
because-keyed = getippt: { $days }
because-keyed-by-trimmer = vom Klauenpfleger getippt
because-rule = Regel: { $why }, { $days }*
because-vet-rule = Regel: { $why }*
why-phlegmon = Panaritium
why-dermatitis = Mortellaro im aktiven Stadium
why-found = immer wieder ansehen
why-treated-lesion = behandelter Befund
why-not-healed = noch nicht abgeheilt
why-block-glued = Klotz geklebt
why-wrapped = Verband angelegt
why-trimmed = geschnitten
why-vet-now = Tierarzt sofort
why-vet-to-see = Tierarzt soll ansehen
why-toe-necrosis = Klauenspitzennekrose
why-swelling = schwere Schwellung über dem Horn
what-see-again = wieder ansehen
what-see-again-vet = wieder ansehen; Tierarzt, wenn nicht besser
what-block-off = Klotz abnehmen
what-wrap-off = Verband abnehmen
what-ask-vet = fragen, was der Tierarzt fand
what-trim = schneiden
starred = * Übliche Praxis, ohne Quelle. Was der Klauenpfleger getippt hat, geht jeder Regel vor.

head-numbers = Der Besuch in Zahlen
number-cows = Kühe gesehen
number-cows-note = { $seen } von { $listed } der Liste ({ $share })
number-trimmed = Klauen geschnitten
number-new = Mit neuem Befund
number-open = Mit noch offenem Befund
number-sound = Untersucht und gesund
number-not-examined = Nicht untersucht
number-blocks = Klötze geklebt
number-lame = Lahm
number-lame-note = von { $scored } beurteilten
note-denominators = Neu: an diesem Tag gefunden. Noch offen: früher gefunden, nicht abgeheilt und in den letzten { $days } Tagen erwähnt. Anteile beziehen sich auf die { $examined } untersuchten Kühe. Kühe, die nur beurteilt oder nur eingegeben wurden, und nicht vorgeführte Kühe sind in keinem Anteil.
note-times-estimated = Einige Uhrzeiten dieses Tages sind geschätzt, weil das Gerät die Zeit nicht kannte.

head-next = Wieder ansehen
next-none = Nach diesem Besuch ist kein Fuß wieder anzusehen.
column-day = Bis
column-cow = Kuh
column-where = Wo
column-what = Was
column-why = Warum
about-next = Was nach dem Besuch fällig ist, das Nächste zuerst

head-lesions = Befunde
lesions-none = Kein neuer Befund, und keiner ist noch offen.
about-lesions = Neue und noch offene Befunde des Tages, die häufigsten zuerst
column-lesion = Befund
column-cows = Kühe
column-claws-or-feet = Klauen oder Füße
column-open = Offen
column-how-bad = Wie schwer
caption-map = Neue und offene Befunde nach Zonen: an wie vielen Klauen, bei der Haut an wie vielen Füßen. Von oben durch den Fuß gesehen, Kopf der Kuh oben.
alt-map = Karte der vier Füße mit der Zahl der Befunde je Zone: { $spots }
alt-map-none = Karte der vier Füße. Kein Befund hat eine Zone.
map-spot = { $place } Zone { $zone }: { $n }
caption-shares = Kühe mit neuem oder offenem Befund, von den untersuchten Kühen. Der Strich zeigt, wie weit dem Anteil zu trauen ist (95 %, Wilson).
alt-shares = Anteil der Kühe mit neuem oder offenem Befund je Besuch: { $visits }
visit-share = { $date } { $share } ({ $counts })

head-earlier = Verglichen mit früheren Besuchen
earlier-none = Zu dieser Herde gibt es keinen früheren Besuch.
about-earlier = Anteil der Kühe mit jedem Befund bei diesem und dem letzten Besuch
column-this-visit = Dieser Besuch
column-last-visit = { $date }
row-any-lesion = irgendein Befund
note-earlier = Kühe mit dem Befund, neu oder offen, von den untersuchten Kühen; in Klammern das 95-%-Intervall (Wilson). Intervalle, die sich weit überlappen, zeigen keinen Unterschied. Welche Kühe vorgeführt wurden, kann einen Anteil stärker ändern als die Herde.

head-cows = Kuh für Kuh
cows-none = An diesem Tag wurde keine Kuh aufgezeichnet.
about-cows = Was an jedem Fuß gefunden und getan wurde
column-found = Befund
column-grade = Grad
column-zone = Zone
column-done = Getan
column-wall = Wand ({ $unit })
lame-score = { $scale } { $value } (lahm)
plain-score = { $scale } { $value }
note-cows-brief = Hier stehen nur Klauen, von denen etwas zu sagen ist, und keine Wandlängen: die stehen unten und im Lebenslauf jeder Kuh. Eine Zone in Klammern wurde nicht getippt; sie ist die für den Befund übliche.
note-cows = Wand: Länge der Vorderwand, die letzte Messung vor und nach dem Schnitt. Eine Zone in Klammern wurde nicht getippt; sie ist die für den Befund übliche.
cows-lame = Lahm, und nichts gefunden oder getan: { $cows }.
cows-only-trimmed = Geschnitten, kein Befund: { $cows }.
cows-only-looked = Angesehen, nicht geschnitten, kein Befund: { $cows }.
in-zone = Zone { $zone }
cows-nothing = Im Stand, an keinem Fuß etwas getippt: { $cows }.
wall-before = { $length } vorher
wall-after = { $length } nachher
also-trimmed = auch geschnitten: { $places }

head-lengths = Messungen
lengths-none = Es wurde nichts gemessen.
about-lengths = Längen nach Maß, vor und nach dem Schnitt
column-dimension = Maß ({ $unit })
column-when = Wann
column-readings = Messungen
column-least = Kleinste
column-middle = Mitte
column-most = Größte
before-trimming = vor dem Schnitt
after-trimming = nach dem Schnitt
note-middle = Mitte: die Hälfte der Messungen liegt darunter.
target-none = Der Betrieb hat keine Wandlänge als Ziel gewählt (`hornrule herd set --target`).
target-kept = Keine von { $measured }, die nach dem Schnitt gemessen wurden, ist kürzer als das Ziel des Betriebs von { $target }.
target-short = { $short } von { $measured }, die nach dem Schnitt gemessen wurden, kürzer als das Ziel des Betriebs von { $target }:
target-short-line = Kuh { $cow }, { $place }: { $length }
note-target = Keine einzelne Länge ist für jede Kuh sicher: große Kühe brauchen mehr, und die Sohlendicke sieht man von außen nicht.

head-gauge = Prüfung des Messschiebers
gauge-none = An diesem Tag wurde kein Prüfmaß gemessen; niemand kann sagen, wie weit den Längen zu trauen ist. Vor der Arbeit und nach einem Sturz eines messen.
gauge-passed = Gerät { $handheld } las sein Prüfmaß als { $lengths }: bestanden.
gauge-failed = Gerät { $handheld } las sein Prüfmaß als { $lengths }: nicht jede Prüfung bestanden; Schnäbel reinigen, null stellen und neu prüfen, bevor den Längen zu trauen ist.
gauge-unknown = Gerät { $handheld } las sein Prüfmaß als { $lengths }: die Größe des Prüfmaßes ist im Büro nicht bekannt; niemand kann sagen, ob das stimmt.
gauge-unchecked = { $n ->
    [one] Eine Messung ohne bestandene Prüfung davor an diesem Tag.
   *[other] { $n } Messungen ohne bestandene Prüfung davor an diesem Tag.
}

head-check = Zurückgehalten, berichtigt, zu prüfen
check-none = Nichts: jeder Eintrag war vollständig und plausibel.
held-n = { $n ->
    [one] { $n } Eintrag wartet auf eine Entscheidung (`hornrule review`) und steht nicht in diesem Bericht.
   *[other] { $n } Einträge warten auf eine Entscheidung (`hornrule review`) und stehen nicht in diesem Bericht.
}
settled-n = { $n ->
    [one] { $n } Eintrag wurde im Büro entschieden.
   *[other] { $n } Einträge wurden im Büro entschieden.
}
check-held = Zurückgehalten
check-flagged = In diesem Bericht, bitte prüfen
check-settled = Im Büro entschieden
remark-of-cows = { $what } ({ $n ->
    [one] einmal
   *[other] { $n }-mal
}; Kuh { $cows })
remark-times = { $sentence } ({ $n ->
    [one] einmal
   *[other] { $n }-mal
})
unplaced-n = { $n ->
    [one] Außerdem gehört ein Hinweis in der Datenbank zu keinem bekannten Betrieb. Die fehlende Herdenliste einlesen.
   *[other] Außerdem gehören { $n } Hinweise in der Datenbank zu keinem bekannten Betrieb. Die fehlenden Herdenlisten einlesen.
}
head-cautions = Vorsicht
