# A farm over time. German; written from memory, wants a check by a native trimmer.

farm-title = { $farm }: Klauen im Lauf der Zeit
farm-days = { $from } bis { $through }
farm-nothing = An diesen Tagen wurde keine Kuh im Stand aufgezeichnet.
farm-no-lesion = Kein Befund.
farm-visits = Besuche
farm-trimmed = Kühe geschnitten
farm-examined = Kühe untersucht
farm-of-listed = { $cases } von { $listed } der Liste ({ $share })
farm-with-lesion = Davon mit Befund
farm-new = Neue Fälle
farm-again = Wieder aufgetreten

head-mind = Bevor verglichen wird
mind-mostly-lame = Mehr als die Hälfte der beurteilten Kühe war lahm in: { $months }. Solche Monate zeigen die lahmen Kühe und nicht die Herde: nicht mit anderen vergleichen.
mind-chosen = Es wurden andere Kühe vorgeführt: von den beurteilten waren { $low_share } lahm in { $low } und { $high_share } in { $high }, weiter auseinander, als der Zufall erklärt. Schon das kann den Anteil der Befunde verschieben.
mind-more-eyes = Mehr Geräte als in anderen Monaten zeichneten Befunde auf in: { $months }. Mehr Leute finden mehr, vor allem leichte Befunde.
mind-not-scored = Keine Kuh wurde auf Lahmheit beurteilt in: { $months }. Niemand kann sagen, wie die Kühe ausgewählt wurden.
mind-few = Weniger als { $n } Kühe wurden untersucht in: { $months } (hohle Punkte). Der Zufall allein kann einen solchen Anteil um zwanzig Punkte verschieben.
mind-half-unseen = Nur { $cases } von { $listed } Kühen der Herdenliste wurden geschnitten ({ $share }). Von den anderen weiß dieses Blatt nichts.
mind-no-list = Das Büro hat von diesem Betrieb keine Herdenliste; niemand kann sagen, welcher Teil der Herde gesehen wurde (`hornrule herd import`).
mind-always = Die Kühe sind keine Zufallsauswahl: sie kommen der Reihe nach, weil sie lahm sind oder zur Kontrolle. Anteile beziehen sich auf die Kühe, die kamen.

head-months = Monat für Monat
about-months = Kühe und Klauen mit Befund nach Monat
column-month = Monat
column-cows-examined = Kühe untersucht
column-of-them-sore = davon mit Befund
column-claws-examined = Klauen untersucht
column-of-them-horn = davon mit Befund am Horn
column-new = Neu
column-again = Wieder
row-all-days = Alle
too-few-cows = { $n } (zu wenige Kühe)
note-months = Untersuchte Kühe: die mit einem Befund oder einer Arbeit an einem Fuß in dem Monat, jede einmal; mit Befund, wenn an einem Besuchstag einer neu oder noch offen war. Klauen ebenso; nur Befunde am Horn, weil die der Haut zum Fuß gehören. In Klammern das 95-%-Intervall: bei Kühen nach Wilson; bei Klauen nach Wilson mit der wirksamen Anzahl, weil Klauen einer Kuh einander gleichen. Bei weniger als { $least } Kühen steht kein Anteil.
note-all-days = Die letzte Zeile zählt jede Kuh über alle Tage einmal. Mehr Tage finden mehr Kühe mit Befund; sie ist kein Mittel der Monate.
note-not-examined = { $n ->
    [one] Eine Kuh im Stand wurde nicht untersucht; sie ist in keinem Anteil.
   *[other] { $n } Kühe im Stand wurden nicht untersucht; sie sind in keinem Anteil.
}
note-cases = Ein Fall ist ein Befund an einer Klaue (bei der Haut: an einem Fuß). Wieder: sie hatte dort denselben Befund schon, und er war dazwischen abgeheilt oder gesund oder mehr als { $days } Tage nicht erwähnt. Früher wieder gefunden ist es derselbe Fall und zählt nicht doppelt. Alle anderen sind neu. Die Aufzeichnungen beginnen am { $begin }; was eine Kuh davor hatte, zählt als neu.
below-cows = Kühe
below-claws = Klauen
caption-cows-by-month = Kühe mit Befund, von den untersuchten Kühen. Der Strich zeigt, wie weit dem Anteil zu trauen ist (95 %).
caption-claws-by-month = Klauen mit Befund am Horn, von den untersuchten Klauen (95 %).
caption-lesion-by-month = { $lesion }: Kühe damit, von den untersuchten Kühen (95 %).

head-which = Welche Befunde
about-which = Befunde dieser Tage, die meisten Fälle zuerst
about-frequent = Anteil der Kühe mit jedem Befund nach Monat
column-cows-with = Kühe damit
column-letters = Kürzel
column-percent = Prozent
column-low = von
column-high = bis
note-which = Von den untersuchten Kühen; in Klammern das 95-%-Intervall (Wilson). Die Tabelle nach Monaten hat die Befunde mit den meisten Fällen; die CSV-Datei hat alle.

head-healing = Vom Befund bis zur Heilung
healing-none = Es gab keinen Befund einer Klaue, der verfolgt wird.
about-healing = Wie lange Befunde dauerten, nach Schwere und nach Befund
column-cases-found = Gefunden
column-seen-again = Wieder gesehen
column-healed = Abgeheilt
column-half-healed = Die Hälfte heil nach
column-still-open = Nach 28 Tagen offen
all-of-grade = Schwere: { $grade }
days-with-range = { $days } Tagen ({ $low } bis { $high })
days-from = { $days } Tagen ({ $low } oder mehr)
too-few-healed = zu wenige: { $n } heil gesehen, { $least } nötig
no-curve = keine Kurve passt zu dem, was gesehen wurde
note-healing = Befunde an Klauen, an diesen Tagen gefunden; 95-%-Intervalle in Klammern. Zwischen zwei Besuchen sieht niemand hin, also liegt eine Heilung irgendwo dazwischen: Tage und Anteile kommen aus einer Weibull-Kurve für solche Zeiten. Sie sagt, wie lange es dauerte, nicht, was heilte: behandelte und unbehandelte Kühe unterscheiden sich aus Gründen, die nirgends aufgezeichnet sind.

head-blocks = Klötze und was aus ihnen wurde
blocks-none = An diesen Tagen wurde kein Klotz geklebt.
about-blocks = Klötze nach Art des Klebens
column-way = Art
column-glued = Geklebt
column-lost = Verloren
column-at-recheck = Bei der ersten Kontrolle dran
column-after28 = Nach 28 Tagen dran
too-few-lost = zu wenige: { $n } verloren, { $least } nötig
too-few-rechecked = zu wenige da gesehen
below-glued = Tage seit dem Kleben
caption-block-curve = { $way }: Anteil, der noch dran ist. Stufen: was gesehen wurde (Turnbull), solange fünf oder mehr Klötze verfolgt wurden. Band: 95 % einer glatten Kurve (Weibull).
note-blocks = Ein Klotz, den niemand wieder sah, sagt nichts und ist in keinem Anteil. Erste Kontrolle: 10 bis 20 Tage nach dem Kleben; das Intervall berücksichtigt, dass Klötze einer Kuh einander gleichen. Nach 28 Tagen: aus der glatten Kurve. `hornrule blocks` vergleicht die Arten zu kleben.

head-coverage = Wie viel der Herde geschnitten wurde
about-coverage = Geschnittene Kühe nach Monat, von der Herdenliste
column-in-chute = Im Stand
column-trimmed-then = Im Monat geschnitten
column-trimmed-so-far = Bis dahin geschnitten
note-coverage = Von den { $n } Kühen, die heute auf der Herdenliste stehen. Das ist die ganze Liste und keine Stichprobe, also ohne Intervall. Seither abgegangene Kühe zählen nicht mit.

head-gait = Gang
gait-none = An diesen Tagen wurde keine Kuh auf Lahmheit beurteilt; über Lahmheit lässt sich nichts sagen.
about-gait = { $scale }: wie viele Kühe jede Note hatten, nach Monat
column-scored = Kühe beurteilt
note-gait = Skala: { $scale }. Jede Kuh einmal im Monat, mit ihrer schlechtesten Note; in der letzten Zeile einmal insgesamt. Lahm ab { $lame }. Kühe, die hinken, werden öfter vorgeführt.
