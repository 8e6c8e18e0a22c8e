"""What growers say of jobs done, in German, by the job.

Common words of the trade, from memory. Only what is plainly done: "umtopfen" is a plan, "umgetopft" a job.
"""

from __future__ import annotations

from collections.abc import Mapping

SETS: Mapping[str, str] = {
    "kerze": "Kerze Kerzen",
    "nadel": "Nadel Nadeln",
    "teil": "Drittel Viertel Hälfte Fünftel 1/2 1/3 1/4 2/3 3/4 Teil Abschnitt halben halbe",
    "welches": "erste erstes ersten zweite zweites zweiten dritte drittes dritten vierte viertes nächste nächstes nächsten letzte letztes letzten "
    "andere anderen nördliche nördlichen südliche südlichen westliche östliche linke linken rechte rechten vordere hintere",
    "ballen": "Ballen Wurzelballen Ballens Wurzelballens Topfballen",
    "getan": "gemacht erneuert umgetopft bearbeitet ausgetauscht getauscht ersetzt freigelegt saniert ausgewaschen fertig dran",
    "weg": "weg ab runter raus entfernt abgeschnitten herausgeschnitten rausgeschnitten abgesägt gekappt gekürzt abgenommen",
    "ast": "Ast Äste Zweig Zweige Zweiglein Gipfel Hauptast",
    "halb": "halbiert gekürzt eingekürzt abgebrochen abgeknipst gebrochen zurückgenommen pinziert gezupft",
    "seite": "Nordseite Südseite Westseite Ostseite Rückseite Vorderseite Seite",
    "rein": "Garage Kalthaus Gewächshaus Keller Schuppen Wintergarten Treppenhaus Frühbeet Winterquartier Haus Glashaus Folientunnel Kaltkasten",
    "duenger": "Dünger Düngerkugeln Düngerkegel Flüssigdünger Biogold Düngerkuchen Dünge Langzeitdünger Eisendünger",
}

JOBS: Mapping[str, tuple[str, ...]] = {
    "job repotting": (
        "umgetopft", "umgetopt", "Umtopfen erledigt|fertig|geschafft", "Wurzelschnitt gemacht|erledigt|$", "Wurzeln geschnitten|gestutzt|zurückgeschnitten|beschnitten", "neu eingetopft", "neu getopft", "in frische Erde gesetzt", "frische|neue Erde bekommen|gegeben", "Substrat gewechselt|getauscht|erneuert", "Erde gewechselt|getauscht", "wurzelnackt gemacht|umgetopft",
    ),
    "job sectional-repotting": (
        "@welches? @teil vom|des? @ballen", "@teil @ballen", "@ballen .. @teil @getan", "@ballen .. @seite @getan", "@welches @teil @getan", "@teil .. @ballen .. @getan", "@seite .. @ballen .. @getan", "@ballen auf|an .. @seite .. @getan", "abschnittsweise umgetopft", "teilweise umgetopft", "zur Hälfte umgetopft", "zu? einem Drittel umgetopft", "halben @ballen .. @getan", "nur? @welches? @teil umgetopft",
        "@welches? Ballendrittel|Ballenviertel|Ballenhälfte", "Wurzelsektor @getan", "Drittel .. Wurzeln .. erneuert", "nur .. @seite umgetopft", "@welches @teil .. umgetopft", "@welches @teil dran", "@teil .. alte|alter Erde raus|weg",
    ),
    "remark section": ("^ nur? @welches? @teil nur? $", "^ nur eine @seite $", "^ nur @seite $", "^ @teil vom|der? Wurzeln $"),
    "share roots": (
        "@teil .. Wurzeln .. @weg", "@teil .. Wurzelmasse|Wurzelfilz .. @weg", "Wurzeln um? .. @teil @weg", "@teil der? Wurzeln", "@teil Wurzeln", "Wurzeln .. @teil @weg", "@ballen .. um .. @teil verkleinert|reduziert|gekürzt|@weg", "@teil vom @ballen @weg", "Wurzeln .. auf .. @teil", "Wurzelballen .. @teil @weg",
    ),
    "job slip-potting": ("getopft größer", "in größeren|größere|größeres Topf|Schale|Kübel|Kasten|Container", "größer getopft", "übertopft", "weitergetopft", "Topf größer", "umgetopft .. ohne .. Wurzeln anzufassen|anzurühren|stören|Wurzelschnitt", "ohne Wurzelschnitt $", "ohne Wurzelschnitt umgetopft|umgesetzt", "nur übertopft", "bloß umgesetzt"),
    "remark untouched": ("Wurzeln .. nicht angefasst|angerührt|berührt|geschnitten|gestört", "ohne Wurzelschnitt|Wurzelarbeit", "Wurzeln .. in Ruhe gelassen", "Ballen .. nicht angefasst|angerührt|berührt|aufgelockert|gestört", "Ballen .. in Ruhe gelassen", "Wurzeln unberührt|unangetastet", "ohne .. Wurzeln anzufassen|anzurühren", "Ballen unberührt", "nichts an .. Wurzeln .. gemacht|geschnitten"),
    "job decandling": ("entkerzt", "@kerze .. abgeschnitten|geschnitten|raus|ab|weg|entfernt|rausgeschnitten|herausgeschnitten|runter|herausgenommen|abgenommen|rausgenommen", "Entkerzen fertig|erledigt|gemacht", "@kerze geschnitten"),
    "job candle-shortening": ("@kerze .. @halb", "@kerze um|auf .. @teil .. @halb|geschnitten|ab|weg", "@kerze .. kürzer gemacht", "@kerze .. zurückgeschnitten", "@kerze .. in? der? Mitte .. geschnitten|abgebrochen|durch"),
    "words cut back": ("zurückgeschnitten", "zurückgestutzt", "zurückgenommen", "Rückschnitt gemacht|erledigt|$", "radikal geschnitten", "stark zurück", "hart zurück", "kräftig zurück", "ins alte Holz geschnitten|zurück", "eingekürzt"),
    "job needle-work": ("@nadel gezupft|ausgezupft|rausgezupft|gerupft|ausgedünnt|herausgezupft|entfernt", "alte|alten|vorjährige|vorjährigen @nadel .. weg|raus|ab|gezupft|entfernt|runter|gezogen", "genadelt", "Nadelzupfen fertig|erledigt|$", "Altnadeln .. gezupft|weg|raus|ab|entfernt|runter"),
    "job winter-tidy": ("aufgeräumt $", "Winterputz gemacht|$", "winterfertig aufgeräumt"),
    "job bud-thinning": ("Knospen .. ausgedünnt|reduziert|ausgebrochen|rausgebrochen|weggebrochen|entfernt|vereinzelt|abgerieben|ausgeknipst", "Triebe .. auf zwei .. reduziert|vereinzelt", "Knospen .. auf zwei", "Triebe .. vereinzelt"),
    "job pinching": ("pinziert", "gezupft $", "Spitzen .. gezupft|ausgezupft|gezwickt|abgezwickt|geknipst|abgeknipst|pinziert", "Triebspitzen .. gezupft|pinziert|ausgeknipst|abgeknipst|entfernt|ausgebrochen", "Triebe .. pinziert|gezupft|ausgezupft|abgeknipst|abgezwickt", "ausgezwickt", "mittlere Blättchen .. raus|weg|gezupft", "Austrieb .. gezupft|pinziert|ausgebrochen|abgeknipst", "Pinzieren fertig|erledigt|$"),
    "job structural-pruning": (
        "ausgelichtet", "@ast .. @weg", "@ast .. raus", "@ast abgenommen|weggenommen|rausgenommen|herausgenommen|gekappt|abgesägt|abgeschnitten", "Krone .. ausgelichtet|ausgedünnt|gelichtet|reduziert", "ausgedünnt $", "^ ausgedünnt", "aufbauschnitt gemacht|$", "Strukturschnitt gemacht|erledigt|$", "Gestaltungsschnitt gemacht|$", "@ast .. ausgedünnt|geschnitten", "@ast @weg", "Gipfel .. gekappt|raus|ab", "dicken|großen|alten|starken @ast .. abgesägt|abgeschnitten|weg|ab|raus|runter|entfernt",
    ),
    "words pruned": ("beschnitten", "geschnitten $", "Schnitt gemacht|erledigt", "geschnitten hart|leicht|stark|kräftig"),
    "job trimming": ("getrimmt", "in Form geschnitten", "nachgeschnitten", "gestutzt", "Formschnitt gemacht|erledigt|bekommen|$", "leicht geschnitten", "Spitzen .. gekürzt|eingekürzt|geschnitten|gestutzt|zurückgeschnitten|abgeschnitten", "Triebe .. eingekürzt|gekürzt|gestutzt|zurückgeschnitten|geschnitten", "durchgetrimmt", "überstehende Triebe .. weg|ab|geschnitten|gekürzt", "Neuaustrieb .. gekürzt|eingekürzt|zurückgeschnitten|geschnitten", "Austrieb .. gekürzt|eingekürzt|zurückgeschnitten|geschnitten", "auf zwei|ein|1|2 Blätter|Blattpaare|Blattpaar|Blatt .. zurückgeschnitten|geschnitten|gekürzt|eingekürzt"),
    "job after-bloom-pruning": ("nach Blüte .. geschnitten|zurückgeschnitten|eingekürzt|beschnitten|gestutzt", "geschnitten nach Blüte", "zurückgeschnitten nach Blüte", "Schnitt nach Blüte", "Nachblüteschnitt"),
    "job defoliation": ("entlaubt", "teilentlaubt", "Blattschnitt gemacht|erledigt|bekommen|$", "Blätter .. abgeschnitten|entfernt|runtergeschnitten|weggeschnitten|abgezupft|runter geschnitten", "alle Blätter geschnitten", "Entlaubung gemacht|erledigt|fertig", "defoliert"),
    "job wiring": ("gedrahtet", "neu gedrahtet", "verdrahtet", "eingedrahtet", "Draht dran|drauf|angelegt|rangemacht|angebracht|draufgemacht", "Drahten fertig|erledigt", "nachgedrahtet", "abgespannt", "gespannt .. Draht", "durchgedrahtet", "umgedrahtet", "angedrahtet", "mit Draht versehen|gestaltet"),
    "job wire-check": ("Drahtkontrolle", "Draht|Drähte .. kontrolliert|geprüft|angeschaut|angesehen|nachgesehen|angeguckt|durchgesehen|gecheckt|nachgeschaut", "nach .. Draht geschaut|gesehen|geguckt", "Draht sitzt|passt .. gut|noch|noch gut", "Draht geprüft", "Draht drückt|schneidet noch? nicht|nirgends|nirgendwo", "Draht .. wächst .. nicht ein", "Draht kann noch dranbleiben|bleiben", "Draht bleibt dran|noch dran?"),
    "off wire": ("Draht|Drähte .. runter|ab|weg|entfernt|abgenommen|abgemacht|abgeschnitten|raus|abgewickelt|gelöst|aufgeschnitten|weggenommen|heruntergenommen", "entdrahtet", "abgedrahtet", "Draht ab|runter|weg", "Bast .. runter|ab|entfernt|weg"),
    "off ties": ("Fixierdraht|Fixierdrähte|Haltedraht|Haltedrähte|Befestigungsdraht|Befestigungsdrähte|Ankerdraht|Ankerdrähte|Spanndraht|Spanndrähte|Abspannung|Abspannungen|Verankerung|Schnüre|Halteschnüre .. ab|raus|gelöst|entfernt|durchgeschnitten|weg|durchgeknipst|aufgeschnitten|runter|abgenommen|geschnitten", "Fixierung .. gelöst|entfernt|ab|weg|raus"),
    "bend": ("Stamm .. gebogen|runtergebogen|heruntergebogen|nach unten gebogen", "stark|kräftig|heftig|ordentlich|ganz gebogen|runtergebogen|heruntergebogen", "gebogen .. Bast|Klammer|Schraubzwinge|Zwinge|Raffia|Biegehebel|Spannschraube|Hebel", "mit Bast|Raffia|Schraubzwinge|Zwinge|Klammer|Spannschraube .. gebogen|runtergebogen|heruntergebogen|runter", "Bast|Raffia .. gebogen", "Hauptast|Ast .. stark|weit|heftig|90 .. gebogen|runtergebogen", "runtergebogen", "heruntergebogen", "große|starke|heftige Biegung gemacht|$", "90 Grad .. gebogen"),
    "job deadwood": ("Jin|Jins|Shari|Totholz .. gebürstet|bearbeitet|geschnitzt|gereinigt|geputzt|verlängert|gemacht|angelegt|gefräst|behandelt|gebleicht|gestrichen|freigelegt|geschält|sauber|ausgearbeitet|nachgearbeitet|verfeinert|eingepinselt|bepinselt", "Totholzarbeit|Totholzarbeiten", "Jinmittel|Schwefelkalk|Jin .. aufs|auf|auf das Totholz|Jin|Shari", "Schwefelkalk .. auf|aufs .. Totholz|Jin|Shari|Holz|toten", "Jinmittel drauf|gestrichen|aufgetragen|gepinselt", "mit Jinmittel gestrichen|behandelt|gepinselt|eingestrichen", "geschnitzt", "geschält .. Jin", "einen Jin|Shari gemacht", "neuer|neuen Jin|Shari"),
    "job dormant-spray": ("Winterspritzung", "wintergespritzt", "Austriebsspritzung", "gespritzt .. Schwefelkalk|Öl|Kupfer|Paraffinöl|Weißöl", "mit Schwefelkalk|Weißöl|Paraffinöl|Kupfer|Rapsöl gespritzt", "Schwefelkalk gespritzt|gespritzt|gesprüht", "Winterspritzen fertig|erledigt|$"),
    "job feeding": ("gedüngt", "@duenger .. gegeben|aufgelegt|drauf|gestreut|bekommen|ausgelegt|nachgelegt|verteilt|gelegt|erneuert|ausgebracht|rein|ins", "frische|neue|neuen|frischen @duenger", "Düngung gemacht|erledigt|gegeben|$", "@duenger drauf|gegeben", "nachgedüngt", "flüssig gedüngt", "Düngekugeln .. aufgelegt|drauf|verteilt|nachgelegt|erneuert"),
    "job shade": ("schattiert", "in .. Schatten gestellt|gerückt|geräumt|gebracht|umgezogen|getragen|geschoben", "Schattiernetz .. drüber|gespannt|aufgehängt|drauf|hoch|aufgespannt|montiert", "in Halbschatten gestellt|gerückt|geräumt", "^ in|im Schatten $", "Schattennetz .. drüber|gespannt|aufgehängt|drauf|auf|hoch|aufgespannt", "unters Schattiernetz|Schattennetz", "aus .. Sonne genommen|gestellt|geräumt|gerückt", "beschattet"),
    "job winter-shelter": ("eingeräumt", "in|ins @rein .. geräumt|gestellt|gebracht|getragen|gefahren|geschleppt|gewandert|umgezogen", "eingewintert", "reingeholt", "hereingeholt", "reingestellt", "reingeräumt", "^ ins|in? @rein $", "Winterquartier bezogen", "eingepackt .. Vlies|Frost|Winter", "Vlies drüber|drum|drauf", "mit Vlies|Laub eingepackt|abgedeckt", "ab ins|in @rein", "Winterschutz .. drauf|dran|angebracht|gemacht|$", "Töpfe .. eingegraben|eingesenkt|eingeschlagen", "eingegraben $"),
    "off cover": ("wieder|alle raus aus|aus|$", "raus aus @rein", "aus @rein .. raus|geholt|geräumt|geräumt|draußen|heraus|getragen|gebracht", "ausgeräumt", "ausgewintert", "wieder draußen", "rausgestellt", "rausgeräumt", "hinausgestellt", "nach draußen gestellt|gebracht|geräumt|getragen", "wieder im Freien", "rausgeholt", "Vlies .. runter|ab|weg|entfernt", "Schattiernetz|Schattennetz .. runter|ab|weg|abgenommen|abgebaut|abgehängt|eingerollt", "abgedeckt .. Vlies|wieder", "ausgepackt", "wieder nach draußen", "Winterschutz .. weg|runter|ab|entfernt", "wieder rausgestellt|raus"),
    "job collecting": ("ausgegraben", "gesammelt .. Natur|Wald|Berg|Moor|Hang|Steinbruch", "Yamadori .. ausgegraben|geholt|gesammelt|geborgen|$", "aus .. Moor|Wald|Garten|Hecke|Beet|Berg|Hang|Boden .. geholt|gegraben|ausgegraben|geborgen|genommen", "geborgen $", "im Wald ausgegraben|gesammelt"),
    "job air-layering": ("abgemoost", "Abmoosung .. gemacht|angelegt|angesetzt|abgenommen|abgetrennt|gesetzt", "Abmoosen .. fertig|angefangen|begonnen|gemacht", "Abmoosung angelegt|dran"),
    "job cuttings": ("Stecklinge .. gesteckt|gemacht|geschnitten|genommen|abgenommen", "Stecklinge $", "Steckhölzer .. gesteckt|geschnitten|gemacht", "Steckling .. gesteckt|gemacht|genommen|geschnitten"),
    "job grafting": ("gepfropft", "veredelt", "aufgepfropft", "Pfropfung .. gemacht|gesetzt", "ablaktiert", "Reis|Reiser .. gepfropft|aufgesetzt|aufgepfropft|eingesetzt|gesetzt", "durchgefädelt", "Fadenpfropfung|Durchsteckpfropfung gemacht|gesetzt|$"),
}  # fmt: skip
