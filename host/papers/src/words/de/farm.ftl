# A farm over time. German; written from memory, wants a check by a native trimmer.

farm-title = { $farm }: Klauengesundheit im Zeitverlauf
farm-days = { $from } bis { $through }
farm-nothing = In diesem Zeitraum wurde keine Kuh im Stand aufgezeichnet.
farm-no-lesion = Kein Befund.
farm-visits = Besuche
farm-sum-visits = { $n ->
    [one] Ein Besuch.
   *[other] { $n } Besuche.
}
farm-sum-trimmed = { $n ->
    [one] Eine Kuh geschnitten.
   *[other] { $n } Kühe geschnitten.
}
farm-sum-trimmed-listed = { $n ->
    [one] Eine Kuh geschnitten; { $listed }.
   *[other] { $n } Kühe geschnitten; { $listed }.
}
farm-sum-examined = { $examined } Kühe untersucht, { $lesion } mit Befund.
farm-sum-examined-share = { $examined } Kühe untersucht, { $lesion } mit Befund: { $share }.
farm-sum-cases = { $again ->
    [one] Fälle: { $new } neu, 1 Rückfall.
   *[other] Fälle: { $new } neu, { $again } Rückfälle.
}
farm-sum-blocks = { $blocks } geklebt.
farm-of-listed = { $cases } von { $listed } der Liste ({ $share })

head-mind = Vor dem Vergleichen
mind-mostly-lame = Mehr als die Hälfte der beurteilten Kühe war lahm in: { $months }. Solche Monate zeigen die lahmen Kühe, nicht die Herde: nicht mit anderen vergleichen.
mind-chosen = Die Auswahl der Kühe war verschieden: von den beurteilten waren { $low_share } lahm in { $low } und { $high_share } in { $high }, ein größerer Abstand, als der Zufall erklärt. Schon das kann den Anteil der Befunde verschieben.
mind-more-eyes = Mehr Geräte als in anderen Monaten zeichneten Befunde auf in: { $months }. Mehr Leute finden mehr, vor allem leichte Befunde.
mind-not-scored = Keine Kuh wurde auf Lahmheit beurteilt in: { $months }. Wie die Kühe ausgewählt wurden, ist nicht bekannt.
mind-few = Weniger als { $n } Kühe wurden untersucht in: { $months } (hohle Punkte). Der Zufall allein kann einen solchen Anteil um zwanzig Prozentpunkte verschieben.
mind-half-unseen = Nur { $cases } von { $listed } Kühen der Herdenliste wurden geschnitten ({ $share }). Über die anderen sagt dieses Blatt nichts.
mind-no-list = Das Büro hat keine Herdenliste dieses Betriebs; welcher Teil der Herde gesehen wurde, ist nicht bekannt.
mind-always = Die Kühe sind keine Zufallsauswahl: sie kommen der Reihe nach, weil sie lahm sind oder zur Kontrolle. Anteile beziehen sich auf die vorgeführten Kühe.

head-months = Monat für Monat
about-months = Kühe und Klauen mit Befund nach Monat
column-month = Monat
column-cows-examined = Kühe untersucht
column-of-them-sore = mit Befund
column-claws-examined = Klauen untersucht
column-of-them-horn = mit Befund am Horn
column-new = Neu
column-again = Rückfall
row-all-days = Alle
too-few-cows = { $n } (zu wenige Kühe)
note-months = Untersuchte Kühe: Kühe mit einem Befund oder einer Arbeit am Fuß im Monat, jede einmal gezählt. Mit Befund: an einem Besuchstag war einer neu oder noch offen. Klauen ebenso, aber nur mit Befunden am Horn; Befunde der Haut gehören zum Fuß. In Klammern das 95-%-Intervall: bei Kühen nach Wilson; bei Klauen nach Wilson mit der effektiven Anzahl, weil Klauen einer Kuh einander gleichen. Unter { $least } Kühen wird kein Anteil angegeben.
note-all-days = Die letzte Zeile zählt jede Kuh im ganzen Zeitraum einmal. Je mehr Tage, desto mehr Kühe mit Befund; sie ist nicht der Mittelwert der Monate.
note-not-examined = { $n ->
    [one] Eine Kuh im Stand wurde nicht untersucht; sie ist in keinem Anteil.
   *[other] { $n } Kühe im Stand wurden nicht untersucht; sie sind in keinem Anteil.
}
note-cases = Ein Fall ist ein Befund an einer Klaue (bei der Haut: an einem Fuß). Rückfall: derselbe Befund war an derselben Stelle schon da und dazwischen abgeheilt, ohne Befund eingegeben oder mehr als { $days } Tage nicht erfasst. Früher wieder gefunden, ist es derselbe Fall und wird nicht doppelt gezählt. Alle anderen sind neu. Die Aufzeichnungen beginnen am { $begin }; was eine Kuh da schon hatte, zählt als neu.
below-cows = Kühe
below-claws = Klauen
caption-cows-by-month = Kühe mit Befund, von den untersuchten Kühen. Der Strich ist das 95-%-Intervall.
caption-claws-by-month = Klauen mit Befund am Horn, von den untersuchten Klauen (95 %).
caption-lesion-by-month = { $lesion }: Kühe damit, von den untersuchten Kühen (95 %).

head-which = Welche Befunde
about-which = Befunde dieses Zeitraums, die meisten Fälle zuerst
about-frequent = Anteil der Kühe mit jedem Befund nach Monat
column-cows-with = Kühe damit
column-letters = Kürzel
column-percent = Prozent
column-low = von
column-high = bis
note-which = Von den untersuchten Kühen; in Klammern das 95-%-Intervall (Wilson). Die Monatstabelle zeigt die Befunde mit den meisten Fällen; die CSV-Datei enthält alle.

head-healing = Vom Befund bis zur Heilung
healing-none = Kein Befund an einer Klaue lässt sich verfolgen.
about-healing = Dauer bis zur Heilung, nach Schweregrad und nach Befund
column-cases-found = Gefunden
column-seen-again = Kontrolliert
column-healed = Abgeheilt
column-half-healed = Hälfte abgeheilt nach
column-still-open = Nach 28 Tagen offen
all-of-grade = Schweregrad: { $grade }
days-with-range = { $days } Tagen ({ $low } bis { $high })
days-from = { $days } Tagen ({ $low } oder mehr)
too-few-healed = zu wenige: { $n } abgeheilt gesehen, { $least } nötig
no-curve = keine Kurve passt zu den Daten
note-healing = Klauenbefunde dieses Zeitraums; 95-%-Intervalle in Klammern. Zwischen zwei Besuchen sieht niemand hin, jede Heilung liegt also irgendwo dazwischen: Tage und Anteile kommen aus einer Weibull-Kurve für solche Daten. Sie sagt, wie lange die Heilung dauerte, nicht, was sie bewirkte: behandelte und unbehandelte Kühe unterscheiden sich aus Gründen, die nicht aufgezeichnet sind.

head-blocks = Klötze und was aus ihnen wurde
blocks-none = In diesem Zeitraum wurde kein Klotz geklebt.
about-blocks = Klötze nach Klebeart
column-way = Art
column-glued = Geklebt
column-lost = Verloren
column-at-recheck = Bei der ersten Kontrolle dran
column-after28 = Nach 28 Tagen dran
too-few-lost = zu wenige: { $n } verloren, { $least } nötig
too-few-rechecked = zu wenige kontrolliert
below-glued = Tage seit dem Kleben
caption-block-curve = { $way }: Anteil noch dran. Stufen: beobachtet (Turnbull), solange fünf oder mehr Klötze verfolgt wurden. Band: 95 % einer glatten Kurve (Weibull).
note-blocks = Ein Klotz, den niemand wieder sah, sagt nichts und ist in keinem Anteil. Erste Kontrolle: 10 bis 20 Tage nach dem Kleben; das Intervall berücksichtigt, dass Klötze einer Kuh einander gleichen. Nach 28 Tagen: aus der glatten Kurve.

head-coverage = Welcher Teil der Herde geschnitten wurde
about-coverage = Geschnittene Kühe nach Monat, von der Herdenliste
column-in-chute = Im Stand
column-trimmed-then = Im Monat geschnitten
column-trimmed-so-far = Bis dahin geschnitten
note-coverage = Von den { $n } Kühen, die heute auf der Herdenliste stehen. Das ist die ganze Liste und keine Stichprobe, daher ohne Intervall. Abgegangene Kühe zählen nicht mit.

head-gait = Gangbild
gait-none = In diesem Zeitraum wurde keine Kuh auf Lahmheit beurteilt; darüber lässt sich nichts sagen.
about-gait = { $scale }: Zahl der Kühe je Note, nach Monat
column-scored = Kühe beurteilt
note-gait = Skala: { $scale }. Jede Kuh zählt einmal im Monat, mit ihrer schlechtesten Note; in der letzten Zeile einmal insgesamt. Lahm ab { $lame }. Lahme Kühe werden öfter vorgeführt.
