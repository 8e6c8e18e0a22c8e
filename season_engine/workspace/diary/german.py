"""German as growers write it: its small words, and the words by which a clause is no fact."""

from __future__ import annotations

from season_engine.workspace.diary import german_jobs, german_stages, german_states
from season_engine.workspace.diary.tongue import Guards, Tongue, folded_set

SMALL = folded_set(
    """der die das den dem des ein eine einen einem einer eines mein meine meinen meinem meiner meines unser unsere unseren sein seine
    ihr ihre ihren ihrem dieser diese dieses diesen diesem ich wir er sie es ihm ihn ihnen mir mich uns du man hab habe haben hat hatte hatten
    ist sind war waren bin sei und auch mit von vom zum zur zu am im ins in an auf bei aus für nach über um so sehr ganz
    recht ziemlich richtig schön heute jetzt gerade eben schon endlich wieder noch mal einmal dann da hier dort nun doch ja halt
    abend abends mittag früh vormittag nachmittag morgens baum bäume bäumchen bonsai alle alles beide beiden dran
    sieht aussieht aus wirkt bekommen gemacht worden wurde wurden fertig etwa ungefähr gut gute guter gutes denn bisschen etwas überall
    komplett völlig total vorsichtig sauber ordentlich schnell dabei gleich jahr dieses woche zeit erst frisch nochmal immer"""
) - folded_set("noch aus gut nach über um auf ab wieder immer erst bisschen frisch ordentlich")  # fmt: skip

GUARDS = Guards(
    plan=folded_set(
        """muss müssen müsste müssten soll sollte sollten sollen will wollen wollte möchte möchten werde werden wird würde könnte könnten kann
        können darf dürfen morgen übermorgen nächste nächsten nächstes nächster demnächst bald später geplant plane vorhabe vorgenommen überlege überlegt überlegen
        vielleicht eventuell evtl brauche braucht bräuchte fällig wohl wahrscheinlich vermutlich hoffentlich hoffe fast beinahe
        versuche versucht warten warte abwarten ansteht bereit reif überfällig gehört gehörte todo denke dachte glaube meint meinte sagt sagte
        empfiehlt empfohlen rät geraten kommende kommenden kommendes zukünftig mag wünsche träume geträumt vorbereiten vorbereitet"""
    ) - folded_set("nächste nächstes nächsten wird"),
    plan_phrases=(
        "nächste|nächsten|nächstes|nächster Woche|Jahr|Monat|Mal|Frühjahr|Frühling|Herbst|Winter|Sommer|Wochenende|Tage|Tagen|Samstag|Sonntag|Saison", "steht|stehen an", "wird zeit", "zeit für|zum", "auf .. Liste", "in zwei|drei|einer Wochen|Woche|Tagen|Monat", "am Wochenende dran", "noch zu", "zu früh", "wird .. umgetopft|gedrahtet|entkerzt|entlaubt|geschnitten|gedüngt|verkauft|verschenkt",
    ),
    answers=("nein", "nö", "nee", "noch nichts", "nichts", "noch nicht"),
    denied=folded_set("nicht kein keine keinen keinem keiner nie niemals nichts nix ohne statt nirgends weder vergessen nein nee kaum ausgelassen verzichtet lieber"),
    in_vain=folded_set("noch"),
    in_vain_denied=frozenset(),
    asks=folded_set("wann warum wieso weshalb wie was wer wo welche welcher ob soll sollte kann darf muss"),
    others=folded_set(
        """nachbar nachbars nachbarn nachbarin freund freunde freunds freundes kumpel kollege kollegen verein vereins ausstellung museum video videos
        buch zeitschrift artikel forum internet vorführung workshop kurs seminar lehrer meister kunde kunden vortrag foto fotos bild bilder
        gesehen gelesen besucht besuch geholfen deren dessen fremde dein deine deiner euer eure messe"""
    ),
    agents=folded_set("nachbar nachbarin freund kumpel schwester bruder frau mann sohn tochter katze hund fuchs eichhörnchen amsel amseln vögel schnecken mäuse"),
    habit=folded_set("meist meistens normalerweise gewöhnlich üblicherweise früher nie jedes jedesmal jährlich oft manchmal selten damals sonst"),
    condition=folded_set("falls wenn ob sofern"),
    subordinate=folded_set("sobald bis bevor ehe damit nachdem seit seitdem wenn falls ob als wie während wo welcher"),
    joins=folded_set("und aber also dann danach weil denn da obwohl sowie & +"),
    turns=folded_set("aber doch trotzdem"),
    too=folded_set("auch ebenso ebenfalls genauso dito"),
    pronouns=folded_set("er sie es ihn ihm ihr der die das"),
    articles=folded_set("ein eine einen einem einer irgendeine irgendein"),
    determiners=folded_set("der die das den dem ein eine einen einem frisch"),
    everything=folded_set("alles alle allen überall sämtliche jeder jedem rundum"),
    rest=folded_set("rest übrigen anderen andere restlichen"),
    plural=folded_set("beide beiden alle allen sämtliche"),
    compared=folded_set("als wie"),
    already=folded_set("bereits"),
    now=folded_set("heute jetzt gerade nun"),
    yard=folded_set(
        """regen regnet geregnet landregen gewitter hagel schnee schneit frost nachtfrost sturm wind windig hitze heiß kalt kälte sonne sonnig wetter nebel
        gegossen gießen giesen gegosssen bewässerung schlauch bank bänke tisch tische garten hof gewächshaus terrasse balkon regal regale
        erde werkzeug moos empfindliche empfindliches minus grad blattläuse schnecken läuse töpfe schalen dachrinne teich"""
    ),
    known=folded_set("kupfer schere zange akadama bims kiryu moos rinde fichte buche garten gesteckt gestern abends morgens gesehen gelegenheit"),
)  # fmt: skip

GERMAN = Tongue(
    name="de",
    tables=(german_jobs.JOBS, german_stages.STAGES, german_states.STATES, {"idle": german_states.IDLE}),
    sets={**german_jobs.SETS, **german_stages.SETS, **german_states.SETS},
    small=SMALL,
    guards=GUARDS,
)
