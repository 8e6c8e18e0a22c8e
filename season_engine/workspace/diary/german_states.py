"""What growers say of a tree's state, its roots, its year and where it goes, in German; and what means nothing.

Common words of the trade, from memory.
"""

from __future__ import annotations

from collections.abc import Mapping

SETS: Mapping[str, str] = {
    "wem": "Schwester Bruder Mutter Vater Nachbar Nachbarn Nachbarin Freund Freundin Kollege Kollegen Kollegin Sohn Tochter Tante Onkel Neffen Nichte Verein Oma Opa Enkel Schwager Cousin Schwägerin Anfänger",
    "faul": "faul faule faulen faulig faulige matschig matschige schwarz schwarze braun braune weich verfault verfaulte vergammelt modrig abgefault",
    "blass": "blass blasse hell hellgelb gelb gelbe gelblich gelbliche bleich bleiche chlorotisch chlorotische fahl vergilbt",
    "gut": "gutes tolles prima super schönes klasse starkes hervorragendes bestes Spitzenjahr",
    "schlecht": "schlechtes mieses furchtbares schlimmes miserables übles verlorenes hartes schweres",
}

STATES: Mapping[str, tuple[str, ...]] = {
    "state weak": ("^ schwach $", "kümmert", "ist|wirkt|sieht noch? sehr|recht|ziemlich|etwas|so? schwach", "^ schwächelt", "schwächelt", "mickert", "kaum Zuwachs|Austrieb|gewachsen", "treibt|wächst nur? schwach|schwächlich|kümmerlich", "geschwächt", "schwacher Austrieb|Zuwachs|Wuchs", "sehr|recht|ziemlich|immer noch schwach", "noch schwach", "kümmerlich"),
    "state strong": ("^ stark $", "^ kräftig $", "^ wüchsig $", "strotzt .. Kraft", "wächst wie|sehr verrückt|irre|stark|kräftig|Unkraut|blöd", "kräftig gewachsen|ausgetrieben", "treibt|wächst kräftig|stark|wie", "kräftiger|starker Zuwachs|Austrieb|Wuchs", "voller Kraft", "ist|wirkt richtig|sehr|wieder? kräftig|stark|vital|wüchsig", "vital $", "gut im Saft", "legt .. zu"),
    "state normal": ("wächst .. normal", "normaler Zuwachs|Wuchs"),
    "state sick": ("^ krank $", "ist krank", "kränkelt", "sieht .. krank|schlecht|elend|übel", "Pilz|Pilzbefall|Rost|Mehltau|Nadelschütte .. Blättern|Nadeln|dran|$", "geht .. schlecht", "kränklich", "geht .. nicht gut"),
    "state well": ("geht .. besser", "erholt", "hat sich .. gefangen|erholt", "wieder gesund|fit|munter", "^ besser $", "sieht .. besser aus?", "über|übern Berg", "^ gesund $", "berappelt", "deutlich|viel|wesentlich besser", "wieder obenauf", "auf dem? Weg der? Besserung", "erholt sich", "geht .. wieder gut"),
    "state dead": ("ist hin $", "^ tot $", "ist .. tot", "eingegangen", "^ hin $", "abgestorben $", "gestorben", "nicht überlebt", "hat's nicht geschafft|überlebt", "hat es? nicht geschafft", "über den Jordan", "hinüber $", "vertrocknet $", "^ erfroren $", "das Zeitliche gesegnet", "endgültig tot|hin|hinüber"),
    "state given away": ("verschenkt", "verkauft", "weggegeben", "abgegeben", "geht|ging|ist an .. @wem", "meiner|meinem .. @wem geschenkt|gegeben|vermacht|überlassen", "geschenkt $", "getauscht gegen", "an .. @wem .. gegeben|verschenkt|verkauft|weitergegeben|abgegeben", "eingetauscht gegen", "hergegeben", "@wem .. geschenkt", "neuen Besitzer|Besitzerin", "versteigert", "neues Zuhause", "weitergegeben", "vertauscht"),
    "state young": ("^ jung $", "noch jung|sehr", "Jungpflanze", "Sämling $", "junge Pflanze|Ulme|Lärche|Kiefer"),
    "state training": ("in Ausbildung $", "^ in Ausbildung|Gestaltung $", "noch in Ausbildung|Gestaltung|Entwicklung"),
    "state refined": ("in Verfeinerung", "Verfeinerungsphase", "^ verfeinert $", "ausstellungsreif"),
    "state old": ("^ alt $", "uralt $"),
    "state arrived": ("gekauft", "mitgenommen", "angekommen", "ersteigert", "erstanden", "geschenkt bekommen", "bekommen von|vom $", "neu .. Sammlung|Hof|Garten", "eingezogen", "zugelegt", "mitgebracht", "Neuzugang", "ergattert", "erworben", "geliefert", "geerbt", "^ neu $", "gewonnen", "eingetauscht", "vom? .. @wem bekommen"),
    "far arrived": ("importiert", "von der Südhalbkugel|Nordhalbkugel"),
    "state collected": ("ausgegraben", "Yamadori", "aus .. Moor|Wald|Hecke|Berg|Hang|Steinbruch .. geholt|gegraben|ausgegraben|geborgen", "gesammelt .. Natur|Wald|Berg|Moor|Hang|Steinbruch"),
    "sign drains slowly": ("Wasser läuft|geht|zieht|sickert .. langsam|schlecht|kaum|zäh|schwer", "zieht .. schlecht|langsam|kaum|nicht .. ein|weg|ab|durch", "Drainage schlecht|dicht|zu|verstopft|mies", "braucht ewig bis", "Wasser .. braucht .. ewig|lange|Minuten", "Wasser läuft nicht|kaum ab|durch", "läuft nicht|kaum|schlecht ab|durch", "läuft .. langsam .. ab|durch|weg", "Substrat verdichtet|dicht|zusammengefallen", "dauert ewig|lange .. Wasser", "Gießwasser .. langsam|steht", "versickert .. langsam|schlecht|kaum", "Wasser versickert nicht|kaum|schlecht|langsam", "lässt .. Wasser .. nicht|kaum|schlecht durch"),
    "sign water runs off": ("Wasser läuft|perlt|fließt .. oben|seitlich|Rand|drüber|oberflächlich .. ab|runter|weg|?", "perlt .. ab", "nimmt .. kein|kaum Wasser .. an|auf", "Wasser läuft .. über|übern .. Rand", "läuft .. oberflächlich ab", "Wasser läuft einfach|nur|gleich drüber|runter|weg"),
    "sign roots lift": ("Ballen .. hebt|hochgedrückt|gehoben|drückt|schiebt|hochgeschoben|angehoben|wölbt .. sich? .. hoch|raus|heraus|Rand|Topf|aus", "drückt sich .. aus .. Topf|Schale", "schiebt|hebt sich .. aus .. Topf|Schale", "Wurzeln heben|drücken|schieben", "Ballen .. über .. Rand", "hebt sich|den .. Topf|Schale|Ballen", "Ballen .. aus .. Topf gedrückt|geschoben|gehoben", "Ballen steht .. über"),
    "sign roots ring": ("Wurzeln .. aus|unten|durch .. Abzugslöchern|Loch|Löchern|Löcher|Abzugslöcher|unten|Boden|raus|heraus", "Ringwurzeln", "Wurzeln .. im Kreis", "durchgewurzelt", "Wurzeln .. kreisen", "Wurzeln kreisen", "Topf .. voll|voller Wurzeln", "Wurzeln wachsen|kommen|schauen|gucken .. raus|heraus|unten", "Drehwurzeln", "nur noch Wurzeln", "Wurzelfilz .. Topf|unten|ringsum|rundum|Schale|dick|dicker"),
    "sign pale shoots": ("@blass Triebe|Blätter|Nadeln|Austrieb|Spitzen", "Triebe|Blätter|Nadeln|Austrieb|Laub .. @blass", "Chlorose", "chlorotisch", "Blätter .. gelb mit", "gelb mit|und grünen|grüne Adern|Blattadern", "Blattadern grün"),
    "sign dries fast": ("trocknet .. schnell|rasch|mittags|sofort|dauernd|ständig aus?", "schon|mittags .. wieder trocken|staubtrocken|knochentrocken", "wieder trocken", "säuft|trinkt wie|viel|unheimlich", "zweimal|dreimal am Tag|täglich .. gießen|gegossen|Wasser", "zweimal|dreimal gegossen|gießen", "ständig|dauernd trocken|durstig", "durstig"),
    "sign sour smell": ("riecht|stinkt|müffelt|roch|stank .. sauer|faul|modrig|muffig|säuerlich|faulig|Sumpf|Eiern|Eier|komisch|schlecht|vergoren|übel|Jauche|Moor", "saurer|fauliger|modriger|muffiger Geruch", "Erde|Ballen|Substrat|Wurzeln .. stinkt|müffelt|stinken|riecht|riechen $", "müffelt", "sauer .. gerochen"),
    "remark stinks": ("^ stinkt $", "stinkt $"),
    "sign roots rotten": ("@faul Wurzeln", "Wurzeln .. @faul", "Wurzelfäule", "Wurzeln faulen|verfault|gefault|matsch", "Wurzeln .. Matsch|Brei"),
    "sign water stands": ("Wasser steht|stand .. noch|immer|oben|drauf|drin|Tage|seit", "steht .. Wasser .. oben|drauf|drin|Topf|drauf", "steht .. noch|immer Wasser", "Staunässe", "Pfütze .. noch|immer|oben|drauf|Topf", "steht .. im|unter Wasser", "immer noch Pfütze", "Wasser .. nach .. Tagen .. noch", "steht seit .. Tagen .. Wasser", "immer noch .. Wasser .. oben|drauf|drin"),
    "season good": ("@gut Jahr", "hatte|hat .. @gut Jahr", "bestes Jahr", "Jahr .. gut|prima|prächtig gewachsen|entwickelt", "gute|tolle|starke Saison", "prächtig entwickelt"),
    "season bad": ("@schlecht Jahr", "schlechte|miese|verlorene|schlimme Saison", "schlimmstes|schlechtestes Jahr", "Jahr zum Vergessen", "Jahr .. nichts|kaum gewachsen"),
    "went badly": ("schiefgegangen", "schief gegangen|gelaufen", "schiefgelaufen", "misslungen", "missglückt", "nicht angewachsen|angegangen|gelungen|angenommen", "danebengegangen", "daneben gegangen", "fehlgeschlagen", "in die Hose gegangen", "verhunzt", "verpfuscht", "nichts geworden", "nicht gut vertragen", "übel genommen", "schlecht vertragen"),
    "went well": ("angewachsen", "gut gelaufen|gegangen|vertragen|überstanden|geklappt", "angegangen $", "bewurzelt", "gelungen"),
    "partial": ("teilweise|partiell|halb|zur .. entlaubt", "teilentlaubt", "nur .. äußeren|großen|größten|größeren Blätter", "äußere|äußeren|große|großen|größten Blätter .. weg|ab|abgeschnitten|entfernt|geschnitten|runter", "Hälfte .. Blätter .. abgeschnitten|geschnitten|entfernt|weg", "nur .. außen|oben entlaubt", "nur .. Hälfte entlaubt", "entlaubt .. nur .. außen|oben|Hälfte"),
    "pot": ("neue|neuer|neuen Schale|Topf", "in .. Schale|Topf|Kasten|Kiste|Kübel|Container"),
    "moved": ("gefahren|gebracht|umgezogen|geschafft|gestellt|rüber|umgestellt|transportiert|verlegt|gezogen|gewandert|mitgenommen|steht|kommt|ging",),
    "amount heavy": ("^ hart|stark|radikal|kräftig|heftig $", "ordentlich was|viel ab|weg|runter", "zu? viel Wurzel|Wurzeln weg|ab|geschnitten|runter"),
    "amount light": ("^ leicht|vorsichtig|sachte|sanft $", "nur|bloß .. Spitzen", "nur|bloß .. wenig|bisschen|leicht", "ganz leicht|wenig|vorsichtig", "ein bisschen|wenig", "nichts Wildes|Großes|Dramatisches"),
    "amount medium": ("^ mäßig|mittel $",),
}  # fmt: skip

IDLE: tuple[str, ...] = (
    "Tag der offenen", "offen für|gesagt|gestanden|lassen|gelassen", "offene|offenen Tür|Frage|Garten", "schwach gießen|gelb|sichtig|windig", "starker|starken|starkem|starke Wind|Regen|Frost|Sonne|Kaffee|Sturm|Böen|Hitze", "alter|alte|alten Freund|Freunde|Bekannter|Topf|Schale|Erde|Foto|Fotos|Stamm|Draht|Buch|Schere",
    "totmüde|todmüde", "tot umgefallen|müde", "krank im Bett|geschrieben|gemeldet", "besser nicht|morgen|später|so|als|nächste", "jung gebliebene", "Draht nach|bestellt|gekauft|alle|ausgegangen", "Kerze|Kerzen angezündet|brennt|brennen", "geschnitten .. Finger|Daumen|Hand", "in .. Finger|Daumen|Hand geschnitten", "Rasen|Hecke|Gras geschnitten|gestutzt|gemäht|getrimmt", "Blätter|Laub gefegt|zusammengerecht|geharkt|gekehrt", "Blüte des Lebens", "geschenkt .. Schere|Buch", "in Ruhe .. gelassen|angeschaut|angesehen|betrachtet|Kaffee|gefrühstückt", "Schatten gesessen|genossen", "gesammelt Laub|Moos|Regenwasser|Steine|Samen", "Wasser gesammelt|geholt", "hin und|oder|gesetzt|gestellt|geschaut|gefahren|gegangen", "duftet", "riecht gut|herrlich|wunderbar|toll|nach .. Honig|Harz|Regen", "nichts gemacht|getan|passiert", "nix gemacht|getan", "alles drangelassen|dran gelassen", "hart gefroren|gearbeitet|im Nehmen", "stark gefroren|geregnet|geschneit|bewölkt", "bares Geld", "frei gedrahtet Zaun", "Maschendraht", "Drahtschere", "Rest .. in Ruhe gelassen", "nicht .. Ruhe", "nicht schlecht|übel|verkehrt", "kein Wunder|Problem|Thema|Wind", "nicht wiederzuerkennen|zu fassen|satt sehen", "was .. blüht uns", "gekauft Draht|Erde|Schere|Akadama|Dünger|Schale|Topf", "Draht|Erde|Schere|Akadama|Dünger|Schale|Schalen|Topf|Bims|Kanuma gekauft|bekommen|mitgenommen|mitgebracht|geliefert|angekommen|bestellt|ersteigert",
)  # fmt: skip
