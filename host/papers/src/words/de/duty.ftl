# Duties: who does them, how late they are, what is told once. German; wants a check by a native trimmer.

why-one-sided = einseitige Schwellung
why-bone-or-joint = Knochen oder Gelenk sichtbar
why-gait = geht kaum noch: letzter Wert der Skala
why-worse = schlechter
why-unanswered = seit einem früheren Tag offen, ohne Antwort des Tierarztes
why-office = am Klauenstand erbeten
what-office = Kuh im Büro prüfen
who-trimmer = Klauenpfleger
who-farmer = Landwirt
who-vet = Tierarzt
who-office = Büro
overdue-by = { $days } überfällig
harm-block = { $days } zu lang: schadet der Klaue, die ihn trägt
harm-wrap = { $days } zu lang: schadet der Haut darunter
due-at = { $place }: { $what }
due-practice = { $name }, Telefon { $phone }
due-practice-name = { $name }
due-practice-phone = Telefon { $phone }
due-ask = Bitte sagen Sie uns, was Sie selbst erledigt haben, welche Kuh verkauft oder verendet ist und was der Tierarzt gesagt hat.
due-past = { $date }, { $farm }: { $n ->
    [one] eine Kuh überfällig
   *[other] { $n } Kühe überfällig
}
head-never-brought = Nicht vorgestellt
due-never-note = Kühe, die fällig waren und { $n } Mal oder öfter nicht vorgestellt wurden. Jede steht einmal hier, mit dem, was sie hatte.
about-never-brought = Kühe, die fällig waren und nicht vorgestellt wurden
head-back = Als abgegangen vermerkt und später im Klauenstand
due-back = { $cow } von { $farm }: am { $date } als { $how } vermerkt ({ $who }: { $why }), am { $seen } im Klauenstand. Sie steht wieder auf der Liste. War es eine andere Kuh, nehmen Sie den Vermerk mit hornrule due done --take-back zurück.
gone-sold = verkauft
gone-dead = tot
column-farm = Betrieb
column-date = Datum
column-due-day = Fällig
column-overdue = Tage überfällig
column-group = Gruppe
column-name = Name
column-who = Wer
column-rule = Regel
column-since = Fällig seit
column-not-brought = Nicht vorgestellt
head-left-on = Zu lange belassen
farm-left-on = Am Ende des letzten Besuchs, { $date }:
farm-left-on-line = { $cow }, { $place }: { $what }, { $late }
