# Terms of the trade beside lesions: signs, why a block came off, washing between farms. English.

head-signs = Also seen and felt
about-signs = Signs that day, most frequent first
column-sign = Sign
note-signs = Signs are no lesions: they are in no share of cows with a lesion.
case-amputated = digit amputated { $date }
past-block-off-why = { $what }, { $date }
clean-keyed = Washing and disinfecting, and a change of gloves and knives, were keyed before this farm.
clean-not-keyed = Washing before this farm was not keyed.
clean-partly-keyed = Washing before this farm was keyed on { $n } of { $of } handhelds.
