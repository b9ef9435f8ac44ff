# Die Übungen, und was dazu gesagt wird. German; wants a check by a native trimmer.

# Places, and what stands in flash.
said-cow-herself = die Kuh
said-foot = Fuß { $foot }
said-claw-outer = { $foot }, Außenklaue
said-claw-inner = { $foot }, Innenklaue
said-all-feet = alle vier Füße
said-both-claws = beide Klauen { $foot }
said-visit = Besuch auf Betrieb { $farm }
said-cow = Kuh { $number }
said-tag = Kuh mit Ohrmarke { $tag }
said-left = die Kuh ist gegangen
said-reading = { $what } { $length } mm, { $place }
said-reading-inches = { $what } { $length } mm, { $place }, Messschieber auf Zoll
said-found = { $lesion }, { $place }
said-graded = { $lesion }, { $grade }, { $place }
said-in-zone = { $found }, Zone { $zone }
said-done = { $action }, { $place }
said-done-days = in { $days } Tagen { $action }, { $place }
said-score = { $scale } { $value }
said-bundle = { $n ->
    [one] Bündel { $bundle } des Plans, 1 Teil
   *[other] Bündel { $bundle } des Plans, { $n } Teile
}

# What is asked.
ask-here = { $cow } steht im Stand.
ask-comes = { $cow } kommt in den Stand.
ask-next = { $cow } kommt herein.
ask-leaves = Sie geht.
ask-farm = Sie kommen auf Betrieb { $farm } des Tagesplans an.
ask-found = { $place }: { $lesion }
ask-graded = { $place }: { $lesion }, { $grade }
ask-staged = { $place }: { $lesion }, Stadium { $grade }
ask-in-zone = { $found }, in Zone { $zone } ({ $region })
ask-done = { $place }: { $action }
ask-done-days = { $place }: in { $days } Tagen { $action }
ask-recheck = Bei der Kontrolle: { $done }
ask-gauge = Vor der ersten Kuh: Messschieber am Endmaß prüfen.
ask-measure = { $place }: { $what } messen ({ $landmarks }).
ask-score = { $scale }: { $value }.
ask-score-herself = { $scale } { $value }.
ask-bundle = Dann das, was Bündel { $bundle } tut: { $parts }.
ask-part-this = { $code } diese
ask-part-partner = { $code } Nachbarklaue
ask-part-foot = { $code } Fuß
ask-part-cow = { $code } Kuh
ask-part-days = { $part }, { $days } Tage
ask-all-feet = Alle vier Füße sind geschnitten, ohne Befund.
ask-all-feet-but = Alle vier Füße sind geschnitten; die übrigen Klauen sind ohne Befund.
ask-one-foot = Nur der Fuß { $foot } ist geschnitten, beide Klauen.
ask-hind-feet = Beide Hinterfüße sind geschnitten.
ask-not-trimmed = Alle vier Füße sind angesehen, keiner ist geschnitten.
ask-starts = Begonnen wird an Hinterfüßen { $hind }, an Vorderfüßen { $front }.
ask-walls = Fuß { $foot }: die Dorsalwand beider Klauen messen, in der Reihenfolge der Arbeit.
ask-partner-block = Klotz auf die Nachbarklaue, übliche Art.
ask-blocked = Loses Horn abgetragen, Klotz auf die Nachbarklaue geklebt, übliche Art. Den Fuß in 14 Tagen zur Kontrolle.
ask-wrapped = Gereinigt, Verband angelegt. Den Fuß in 7 Tagen zur Kontrolle.
ask-comes-recheck = { $cow } kommt zur Kontrolle.
ask-healed = { $place }: abgeheilt, durchgehend gesundes Horn. Den Klotz auf der Nachbarklaue haben wir abgenommen.
ask-comes-scored = { $cow } kommt herein, Gangbild { $value }.
ask-claws-trimmed = Fuß { $foot }: Außen- und Innenklaue geschnitten.

# The cows of the timed day.
ask-day-feet = Alle vier Füße geschnitten, sonst gesund.
ask-hind-walls = An beiden Hinterfüßen wird die Dorsalwand beider Klauen gemessen.
ask-cleaned = Gereinigt, Mittel 1, Verband.
ask-opened = Loses Horn ab, Klaue tiefer gelegt, üblicher Klotz auf die Nachbarklaue.
ask-opened-again = Loses Horn ab, Klaue tiefer gelegt, üblicher Klotz auf die Nachbarklaue. In 14 Tagen Kontrolle.
ask-better = Besser. Offen gelassen; der Klotz auf der Nachbarklaue ist noch dran.

# Slips to be put right.
slip-cow = Sie haben { $was } eingegeben, es ist aber { $is }. Zurücknehmen und richtig eingeben.
slip-grade = Sie haben { $was } eingegeben, aber der Grad von „{ $lesion }“ ist { $is }. Zurücknehmen und richtig eingeben.
slip-claw-outer = Sie haben den Klotz auf die Außenklaue gesetzt, die kranke; er ist auf der Nachbarklaue. Bringen Sie es in Ordnung.
slip-claw-inner = Sie haben den Klotz auf die Innenklaue gesetzt, die kranke; er ist auf der Nachbarklaue. Bringen Sie es in Ordnung.
slip-half = { $cow }, { $place }. Sie haben FIND 1 gedrückt, aber die Klaue ist gesund. Das halb Gesagte verwerfen und eingeben: untersucht, ohne Befund.
slip-feet = Sie haben alle vier Füße als geschnitten eingegeben, es war aber nur der Fuß { $foot }. Zurücknehmen und richtig eingeben.
slip-bundle = Sie haben Bündel { $bundle } eingegeben, es war aber nur dies: { $done }. Ein UNDO nimmt das ganze Bündel zurück. Bringen Sie es in Ordnung.

# What went wrong.
wrong-take-back = UNDO nimmt es zurück.
wrong-undo-both = { $said } stimmt, aber etwas davor nicht: beide mit UNDO zurücknehmen.
wrong-not-asked = Nicht gefragt: { $said }.
wrong-cow = Eingegeben wurde Kuh { $was }; gefragt ist Kuh { $asked }.
wrong-farm = Eingegeben wurde Betrieb { $was }; gefragt ist Betrieb { $asked }.
wrong-what = Eingegeben wurde { $was }; gefragt ist { $asked }.
wrong-value = Eingegeben wurde der Wert { $was }; gefragt ist { $asked }.
wrong-place = Das kam an: { $was }; gefragt ist: { $asked }.
wrong-claw = Die Fußtaste noch einmal wechselt die Klaue.
wrong-severity = Eingegeben wurde Schweregrad { $was }; gefragt ist { $asked }.
wrong-stage = Eingegeben wurde Stadium { $was }; gefragt ist { $asked }.
wrong-usual-zone = die übliche Zone
wrong-zone = Zone { $zone }
wrong-days = Eingegeben wurden { $was } Tage; gefragt sind { $asked }.
wrong-dimension = Das Maß kam an als { $was }; gefragt ist { $asked } (SIZE { $code }).
wrong-left-half = 15 Sekunden lang halb gesagt: verworfen.
wrong-no-length = Der Messschieber gab kein Maß: noch einmal messen.

# Why the handheld refused.
refused-no-cow = Keine Kuh im Stand: zuerst COW, ihre Nummer, COW.
refused-no-claw = Kein Fuß gewählt: zuerst LF (vorne links), RF, LH (hinten links) oder RH.
refused-no-lesion = Kein Befund hat diese Nummer.
refused-no-action = Keine Maßnahme hat diese Nummer.
refused-no-bundle = Der Plan hat kein Bündel mit dieser Nummer, oder es ist kein Fuß dafür gewählt.
refused-misfit = { $key } passt dort nicht. Das halb Gesagte ist verworfen: von vorn eingeben.
refused-nothing-to-tell = Es gibt nichts zu sagen: keine Kuh, oder kein Fuß, der fällig oder zu messen ist.
refused-undo = Bei dieser Kuh gibt es nichts zurückzunehmen.
refused-digit = Mit einer Ziffer beginnt kein Satz: COW, ein Fuß, FIND, DO, SIZE oder SCORE stehen am Anfang.
refused-long = Keine Nummer hat mehr als 15 Ziffern.
refused-zone = Zonen gehen von 00 bis 12.
refused-days = Kontrolle in 00 Tagen sagt nichts.
refused-scale = Keine Skala hat diese Ziffer.
refused-value = { $scale } geht von { $low } bis { $high }.
refused-leaves = Im Stand ist keine Kuh, die gehen könnte.
refused-farm = Betriebe haben die Ziffern 1 bis 9.
refused-zero = Vor einer Stallnummer steht keine Null; 0 und eine Ziffer ist ein Betrieb.
refused-digits = Eine Stallnummer hat 1 bis 9 Ziffern; eine Ohrmarke hat 15, mit dem Land davor.
refused-nobody = So heißt keine Kuh.
refused-severity = { $lesion }: die letzte Ziffer ist der Schweregrad: { $digits }.
refused-stage = { $lesion }: die letzte Ziffer ist das Stadium: { $digits }.
refused = Das Gerät hat es nicht angenommen.
