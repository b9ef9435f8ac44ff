# Begriffe neben den Befunden: Anzeichen, warum ein Klotz abkam, Waschen zwischen Betrieben. Deutsch, aus
# dem Gedächtnis geschrieben.

head-signs = Außerdem gesehen und gefühlt
about-signs = Anzeichen an diesem Tag, die häufigsten zuerst
column-sign = Anzeichen
note-signs = Anzeichen sind keine Befunde: Sie zählen in keinem Anteil der Kühe mit Befund.
case-amputated = Klaue amputiert { $date }
past-block-off-why = { $what }, { $date }
clean-keyed = Waschen und Desinfizieren sowie Wechsel von Handschuhen und Messern wurden vor diesem Betrieb eingegeben.
clean-not-keyed = Waschen vor diesem Betrieb wurde nicht eingegeben.
clean-partly-keyed = Waschen vor diesem Betrieb wurde auf { $n } von { $of } Handgeräten eingegeben.
