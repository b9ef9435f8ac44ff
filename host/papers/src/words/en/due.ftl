# The due list and its calendar. English.

due-title = What is due
due-title-of = { $farm }: what is due
due-span = { $from } to { $until }
due-day = { $date }, { $farm }
due-none = Nothing is due up to { $until }.
due-later = { $n ->
    [one] One more is due after { $until } (--until).
   *[other] { $n } more are due after { $until } (--until).
}
due-about = What is due, by day, farm and cow
due-group = When and where
due-entry = { $farm }: { $cows } due
due-entry-overdue = { $farm }: { $cows } overdue
due-calendar = Claw work due
due-entry-line = { $cow }, { $place }: { $what } ({ $why })
due-entry-line-of-cow = { $cow }: { $what } ({ $why })
