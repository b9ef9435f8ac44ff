# Was `hornrule plan` im Terminal sagt. German; wants a check by a native trimmer.

plan-told-title = Plan für { $date }
plan-told-farm = Hof { $key }
plan-told-cows = { $farm }: { $cows }, davon { $due } fällig
plan-told-drawn = ausgelost
plan-told-drawn-cows = wie ein Klotz geklebt wird, für { $cows }; das Gerät sagt es, sobald DO 10 gespeichert ist
plan-told-order = Maße
plan-told-times = { $dimension } x{ $clips }
plan-told-blind = { $order } (verblindet: vor keiner Länge wird gewarnt)
plan-told-starts = Beginn
plan-told-claws = hinten: { $hind }; vorn: { $front }
plan-told-floor = Grenze
plan-told-floor-of = { $length }: { $cows }
plan-told-floor-none = keine: { $cows }
plan-told-heels = Ballen
plan-told-heels-most = Warnung, wenn nach dem Schneiden mehr als { $length } auseinander
plan-told-open = offen
plan-told-open-cows = { $cows } mit Befund von früher; danach wird gefragt, wenn die Kuh geht
plan-told-regrown = Horn
plan-told-regrown-cows = größter möglicher Zuwachs bekannt: { $cows }
plan-told-gauge = Endmaß
plan-told-gauge-unknown = nicht bekannt: `hornrule gauge`
plan-told-trial = Test { $way }
plan-told-loaded = geladen
plan-told-into = auf Gerät { $handheld }: Plan { $number } ({ $name }), { $numbers } Nummern, { $bytes } Bytes; zurückgelesen, Uhr gestellt

plan-left-habits = Die Firmware dieses Geräts kennt keine Bündel und beginnt an jedem Fuß mit der Außenklaue; der Plan ist ohne sie geladen. Firmware aktualisieren
plan-left-old = Die Firmware dieses Geräts kann nicht erfahren: { $what }; der Plan ist ohne dies geladen. Firmware aktualisieren
plan-left-room = Für den ganzen Plan hat das Gerät keinen Platz: Er ist geladen ohne { $what }. Mit weniger Höfen passt alles
plan-left-known = offene Befunde
plan-left-ways = geloste Verfahren
plan-left-floors = Grenzen der Wandlänge und der Ballen
plan-left-growth = wie viel Horn nachgewachsen sein kann
plan-left-tags = Ohrmarken von Kühen, die eine Stallnummer haben
