# The due list and its calendar. German; wants a check by a native trimmer.

due-title = Was fällig ist
due-title-of = { $farm }: was fällig ist
due-span = { $from } bis { $until }
due-day = { $date }, { $farm }
due-none = Bis { $until } ist nichts fällig.
due-later = { $n ->
    [one] Ein weiterer Punkt ist nach dem { $until } fällig (--until).
   *[other] { $n } weitere Punkte sind nach dem { $until } fällig (--until).
}
due-about = Was fällig ist, nach Tag, Betrieb und Kuh
due-group = Wann und wo
due-entry = { $farm }: { $cows } fällig
due-entry-overdue = { $farm }: { $cows } überfällig
due-calendar = Klauenpflege: was fällig ist
due-entry-line = { $cow }, { $place }: { $what } ({ $why })
due-entry-line-of-cow = { $cow }: { $what } ({ $why })
