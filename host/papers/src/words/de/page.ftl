# Texts that several pages share. German, as claw trimmers say it; written from memory, wants a check
# by a native trimmer.

page-of = Seite { $page } von { $pages }
made-by = Erstellt mit hornrule { $version }
one-or-more-cows = { $n ->
    [one] { $n } Kuh
   *[other] { $n } Kühe
}
claws-n = { $n ->
    [one] { $n } Klaue
   *[other] { $n } Klauen
}
feet-n = { $n ->
    [one] { $n } Fuß
   *[other] { $n } Füße
}
days-n = { $n ->
    [one] { $n } Tag
   *[other] { $n } Tage
}
in-days = nach { $days }
x-of-y = { $x } von { $y }
share-with-range = { $share } ({ $low } bis { $high })

head-caution-vet = Sofort den Tierarzt rufen
caution-vet = bei einer Kuh, die festliegt oder Fieber hat; bei einseitiger Schwellung über dem Kronsaum; bei Eiter aus Gelenk oder Sehnenscheide; bei sichtbarem Knochen, absterbender Klauenspitze oder Verdacht auf einen Bruch; und bei starken Schmerzen, die ein Klotz nicht lindert. Warten lässt die Kuh leiden.
head-caution-medicines = Arzneimittel:
caution-medicines = Was gegeben wird, wie viel, und wie lange Milch und Fleisch nicht abgegeben werden, bestimmen allein die Packungsbeilage und der verschreibende Tierarzt. Dieses Blatt sagt nichts davon. Wer behandeln darf, regelt das örtliche Recht.
head-caution-hygiene = Vor dem nächsten Betrieb:
caution-hygiene = Stand, Messer, Schleifscheiben, Handschuhe und auch Gerät und Messschieber waschen und desinfizieren. Saubere Tiere zuerst schneiden. Auch gesund aussehende Füße können ansteckend sein.
head-caution-tools = Messer, Klotz und Winkelschleifer:
caution-tools = Die Entscheidung liegt beim Klauenpfleger. Bei Blut oder lebendem Gewebe aufhören. Bein sichern, Schutzhaube am Gerät lassen, Augen und Ohren schützen, und nie zum Handgerät greifen, solange die Scheibe läuft.
head-caution-numbers = Zahlen stützen das Urteil
caution-numbers = und ersetzen es nicht. Sie zählen, was eingegeben wurde, bei den Kühen, die im Stand waren; nicht vorgeführte Kühe fehlen.
