"""What growers say of buds, leaves and flowers, in German, by BBCH code; on a pine some words mean another stage.

Common words of the trade, from memory.
"""

from __future__ import annotations

from collections.abc import Mapping

SETS: Mapping[str, str] = {
    "knospe": "Knospe Knospen",
    "schwillt": "schwellen schwillt schwellend rühren bewegen regen",
    "bricht": "brechen bricht aufgebrochen öffnen platzen aufgeplatzt aufgehen aufgegangen offen springen aufgesprungen platzt",
    "kerze": "Kerze Kerzen",
    "blatt": "Laub Blätter Blatt",
}

STAGES: Mapping[str, tuple[str, ...]] = {
    "stage 0": ("^ ruht noch? $", "^ in? Winterruhe $", "^ in Ruhe $", "Knospen ruhen|geschlossen", "^ schläft noch? $", "noch in? Winterruhe|Ruhe"),
    "stage 1": ("@knospe @schwillt", "Knospen werden|wird dick|dicker|praller", "@schwillt .. @knospe", "Knospen schwellen an", "^ rührt sich $", "^ regt|bewegt sich $", "@kerze @schwillt sich?", "@kerze schieben|fangen|beginnen|strecken", "Knospen beginnen|fangen an? zu? schwellen", "@kerze beginnen|fangen an? .. zu? schieben|wachsen|strecken|treiben", "zweiter Austrieb beginnt|kommt|los", "zweiter Schub|Trieb beginnt|kommt", "schwellende Knospen", "^ regt sich was|schon|etwas $"),
    "stage 3": ("Knospen dick|prall|geschwollen", "dicke|pralle Knospen", "Knospen kurz vor"),
    "stage 7": ("@knospe @bricht auf?", "Knospenaufbruch", "Austrieb beginnt|hat begonnen", "@kerze lang|länger|gestreckt|ausgetrieben", "lange @kerze", "^ treibt aus? $", "treibt aus", "^ treibt|treiben $", "Knospen platzen", "^ treibt", "@kerze .. cm|fingerlang|handlang", "^ ausgetrieben $"),
    "stage 9": ("grüne Spitzen", "Spitzen grün", "zeigt|zeigen grün", "erstes Grün", "grün an Spitzen", "grüne Spitzchen", "Grünspitzen", "grünt"),
    "stage 10": ("Nadeln .. zeigen|sichtbar|schieben|kommen|schauen|spitzen", "Blätter entfalten|öffnen sich?", "Nadeln sichtbar", "Blättchen entfalten|trennen", "Blätter entfalten"),
    "stage 11": ("erste|ersten Blätter|Blättchen|Blatt offen|auf|entfaltet|da|draußen|?", "Blätter offen|draußen|auf", "^ offen $", "Blätter .. offen", "belaubt $", "Nadeln offen", "erstes Blatt", "Laub offen|da"),
    "stage 15": ("voll belaubt", "Blätter .. ausgebreitet|entfaltet|ausgewachsen", "ganz belaubt", "voll im Laub", "in vollem Laub", "ganz ausgetrieben", "vollständig belaubt", "Blätter .. voll|ganz da|offen|entfaltet"),
    "pine 15": ("Nadeln offen|geöffnet|gespreizt|stehen .. ab|spreizen", "^ offen $", "Nadeln .. offen|auf|geöffnet", "Nadeln öffnen sich?"),
    "pine 10": ("Nadeln sichtbar",),
    "stage 51": ("Blütenknospen .. @schwillt|dick|dicker|prall|sichtbar", "Blütenknospen schwellen|dick", "Blütenknospen"),
    "stage 61": ("erste|ersten Blüten|Blüte offen|auf|da|?", "blüht", "fängt .. an .. blühen", "beginnt zu? blühen", "Blüte beginnt|begonnen", "Blüten offen|auf|öffnen|gehen", "erste Blüte", "^ blüht $", "steht in Blüte", "Blühbeginn", "^ blühen $"),
    "stage 65": ("Vollblüte", "in voller Blüte", "volle Blüte", "voll aufgeblüht", "über und über Blüten", "blüht in voller Pracht", "voll in Blüte", "steht in? voller Blüte", "blüht voll"),
    "stage 67": ("Blüten .. welken|verblühen|fallen|welk|fallen ab", "verblüht gerade|langsam", "Blütenblätter fallen|rieseln|segeln", "am Verblühen", "Blüte lässt nach", "Blüten .. fallen"),
    "stage 69": ("verblüht", "abgeblüht", "ausgeblüht", "Blüte vorbei|um|durch|zu Ende", "fertig geblüht", "Blüten alle? ab|weg|verblüht|unten|hin", "Blütenblätter .. alle? ab|unten|gefallen", "Ende der Blüte"),
    "stage 91": ("Austrieb .. ausgereift|hart|verholzt|ausgehärtet|fest", "ausgereift $", "Triebe .. ausgereift|verholzt|hart|ausgehärtet", "Blätter .. hart|ausgehärtet|ledrig", "Nadeln .. hart|ausgereift|ausgehärtet", "ausgehärtet", "Laub .. ausgehärtet|hart|ausgereift"),
    "stage 92": ("Herbstfärbung", "Laubfärbung", "verfärbt sich?", "färbt sich?", "färben sich?", "Laub .. gelb|rot|golden|goldgelb|orange|bunt|verfärbt", "^ goldgelb|golden|bunt|knallrot|feuerrot $", "Herbstfarbe|Herbstfarben", "Blätter .. verfärbt|rot|orange|golden|bunt|färben", "leuchtet rot|gelb|orange|golden", "in Herbstfarbe|Herbstfarben", "^ ganz? gelb|rot $ ", "Nadeln .. golden|goldgelb"),
    "stage 93": ("Laubfall|Blattfall beginnt|begonnen|?", "erste|ersten Blätter fallen|unten|ab|gefallen", "verliert .. Laub|Blätter|Nadeln", "Blätter fallen", "lässt .. fallen|los", "wirft .. ab", "beginnt .. Laub abzuwerfen|verlieren", "Laub fällt", "Blätter fangen an? zu fallen", "Nadeln fallen|rieseln"),
    "stage 95": ("halb kahl", "Hälfte unten|ab|gefallen|runter|weg", "Laub .. Hälfte .. unten|ab|gefallen|runter|weg", "halb entblättert", "Laub halb unten|ab|runter|gefallen", "Hälfte .. Laub|Laubs|Blätter .. unten|ab|gefallen|runter|weg|verloren", "halbes Laub unten|weg", "zur? Hälfte kahl", "halbkahl"),
    "stage 97": ("^ kahl $", "schon|jetzt kahl $", "ganz|völlig|komplett kahl", "Laub .. unten|ab|weg|runter|gefallen", "alle Blätter .. unten|ab|gefallen|runter|weg", "Blätter .. alle unten|ab|gefallen|runter|weg", "kein Blatt mehr dran?", "letzten Blätter .. unten|gefallen|ab|weg", "Laub .. abgeworfen", "alles Laub unten|ab|weg|runter", "Nadeln .. abgeworfen|alle unten|alle ab", "^ kahl", "hat .. Laub verloren|abgeworfen", "letztes|letzte Blatt gefallen|unten|ab|weg", "blattlos", "entblättert"),
}  # fmt: skip
