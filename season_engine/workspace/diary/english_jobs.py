"""What growers say of jobs done, in English, by the job.

Common words of the trade, from memory. Only what is plainly done: "repot" is a plan, "repotted" a job.
"""

from __future__ import annotations

from collections.abc import Mapping

SETS: Mapping[str, str] = {
    "candle": "candle candles",
    "cut": "cut cutting snipped removed took taken chopped clipped nipped",
    "half": "half third quarter back",
    "needle": "needle needles",
    "share": "third thirds quarter quarters half halves fifth 1/2 1/3 2/3 1/4 3/4 1/5 section",
    "which": "first second third fourth last next final other another north south east west left right "
    "front back northern southern eastern western 1st 2nd 3rd",
    "ball": "ball rootball",
    "did": "did done redid renewed repotted worked finished tackled had",
    "off": "off out away gone",
    "branch": "branch branches limb limbs bough boughs leader",
    "few": "one two three four five few couple some several big heavy lower dead whole thick fat crossing long",
    "check": "checked looked inspected examined checking",
    "tips": "tip tips ends growth shoot shoots shoots",
    "food": "fertiliser fertilizer feed food pellets cakes rapeseed bonemeal seaweed biogold npk",
    "in": "indoors inside garage greenhouse shed cellar polytunnel tunnel coldframe conservatory porch basement",
    "bed": "ground field garden hillside bog moor quarry hedge wild woods",
    "pinch": "pinched nipped pinching",
    "spray": "spray sprayed spraying",
}

JOBS: Mapping[str, tuple[str, ...]] = {
    "job repotting": (
        "repotted", "re potted", "repoted", "^ repot done|finished|complete", "repotting done|finished|complete|completed",
        "repot done|finished", "new pot and soil", "fresh soil and new pot",
        "root pruned", "pruned roots", "roots pruned", "root pruning done|finished", "combed out roots",
        "bare rooted", "bareroot done", "repotted into|in", "changed soil", "soil changed",
        "out of pot and roots cut|pruned|trimmed", "roots trimmed|cut|combed and new|fresh soil",
        "had repot|repotting", "got repotted", "finished repotting", "did repot|repotting",
    ),
    "job sectional-repotting": (
        "sectionally repotted", "repotted section", "repotted in sections", "sectional repot|repotting done?",
        "@share of? root? @ball", "@share of? rootball", "@which @share of? root? @ball", "@which side of root? @ball",
        "half bare rooted", "root section done|renewed|repotted|worked|out|changed|replaced", "section done|renewed|repotted|replaced|swapped",
        "renewed @share of? old? roots", "renewed @which? @share", "@share of? old? roots renewed|repotted|worked",
        "@ball @which? @share renewed", "@did @which @share", "@did @which side of? roots|ball", "@which @share done|renewed|repotted|finished",
        "half repotted $", "repotted @share of? $", "repotted @which @share",
        "^ root section $", "@which root section", "repotted @which? side only|alone", "repotted in thirds|halves|quarters",
        "@which side of? roots done|renewed|repotted", "@which @share of? roots done|renewed|repotted",
        "half bare root", "hbr done", "did .. half bare root",
        "@which @share of field|old|original soil out|gone|off|away|replaced", "changed .. soil on @which side|half",
        "@share of? field|old|native soil out|off|replaced|gone|washed", "cut|took wedge|wedges out of? root? ball|roots",
        "dug out @which? @share of? soil|roots",
    ),
    "remark section": (
        "^ only|just? @which? @share only|just? $", "^ one side only|just? $", "^ one side $", "@which @share of? roots", "^ @which side only|just $",
        "@share only $", "^ @share of? old? roots $", "^ @which @share $",
    ),
    "share roots": (
        "@share of? @off? old? roots", "@share of? roots @off?", "roots .. by @share", "cut|took|reduced|removed .. @share of? .. roots",
        "cut|took|trimmed off? @share of? roots", "roots cut|reduced|shortened @share",
        "cut|took|reduced|shaved ball|rootball .. by @share", "@share of? @ball off|away|gone|cut|sawn",
        "took|cut|sawed|sawn|sliced|removed off? @share of? root? @ball", "@share of? roots cut|trimmed|pruned|gone|removed",
        "cut|trimmed|took off|away @share of? old? roots",
    ),
    "job slip-potting": (
        "slip potted", "potted on", "potted up", "slip potting done?", "slipped into|in .. bigger|larger|pot",
        "up potted", "uppotted", "repotted without root work|touching|disturbing", "repotted .. no root work", "without root work",
        "into|in bigger|larger|deeper .. pot|box|container|one|tray|tub", "dropped into|in .. bigger|larger|pot", "bigger|larger pot no root work",
        "moved up a? pot|size", "potted on without root work",
    ),
    "remark untouched": (
        "didn't|did|not|never|without not? touch|touched|touching|disturb|disturbed|disturbing|disturb roots|rootball|ball|root",
        "roots|rootball|ball untouched|undisturbed", "roots|rootball|ball left alone|be", "left roots|rootball|ball alone|be",
        "roots not touched|disturbed|cut", "no root work|pruning|cutting", "without root work|pruning", "roots left as they are|were",
        "slip potted only|just?",
    ),
    "job decandling": (
        "decandled", "de candled", "decandling done|finished|complete|completed", "did|finished decandling",
        "@candle cut|removed|snipped", "@cut off? @candle off|out?", "@cut .. @candle off|away", "@candle .. off $", "@candle all? off",
        "@candle gone $", "took off @candle", "cut .. @candle on|off|from", "cut back? strong|weak|medium|small|big @candle",
        "@cut @candle", "decandled .. half", "@candle taken|come off",
    ),
    "job candle-shortening": (
        "@candle shortened|pinched|broken|snapped", "shortened .. @candle", "@pinch .. @candle", "snapped|broke .. @candle",
        "@candle cut|pinched|snapped|broken back? by|in|to|back|half", "@cut .. @candle in? half|back|short", "@cut .. @candle by half|third|two",
        "@cut @candle back to|by", "pinched @candle", "@candle pinched|nipped", "snapped|broke off? tops|tips off? @candle", "halved .. @candle", "@candle halved",
        "@cut @candle in half", "trimmed @candle", "cut|took half|third off .. @candle", "cut|took half|third|quarter off? @candle",
        "@candle .. snapped|broken|pinched in? half|back",
    ),
    "words cut back": (
        "cut back", "cutting back done|finished", "^ back hard", "cut .. hard back", "cut .. back hard", "cut .. back $", "chopped back", "hacked back",
        "cut .. right back", "hard cut|prune|pruned back?", "cut .. back to|by|into", "^ hard back $", "cutback done",
    ),
    "job needle-work": (
        "needles pulled|plucked|thinned", "pulled|plucked|thinned needles", "pulled|plucked|removed|took old|last|lasts|years|year's needles", "@needle plucking|pulling|thinning done|finished|$",
        "old needles off|out|pulled|plucked|gone|removed", "needle work done|finished", "cleaned|plucked|pulled .. old needles", "plucked|pulled .. needles",
        "thinned .. needles", "needle plucked|pulled", "needles off .. last year", "stripped|pulled off? old needles",
    ),
    "job winter-tidy": ("tidied", "tidied up", "winter tidy done|finished|$", "autumn tidy done|$", "had winter|autumn tidy"),
    "job bud-thinning": (
        "buds thinned", "thinned .. buds", "thinning buds done", "buds rubbed|reduced|cut off|out|down|to", "rubbed off|out .. buds", "reduced buds to? two?", "buds down to two",
        "bud thinning done|$", "thinned shoots|buds to? two", "disbudded", "rubbed .. buds off", "selected buds", "down to two buds|shoots",
    ),
    "job pinching": (
        "pinched", "pinched .. shoots|tips|buds", "nipped .. shoots|tips|growing|growth|ends", "nipped middle|centre|center|bit", "pinched out|back", "tips|shoots nipped|pinched", "pinching done|finished|$",
        "nipped out", "nipped back", "took|plucked .. middle|centre|center leaves|bud|shoot out", "^ nipped $",
    ),
    "job structural-pruning": (
        "thinned branches|crown|canopy|top|out|foliage|growth|inside|shoots", "branches|crown|canopy thinned", "pruned branches", "branches pruned", "structural pruning done|$", "structurally pruned",
        "^ thinned", "thinned $", "thinned hard|lightly|heavily", "was|got|been thinned", "@few .. @branch off|out|gone|removed|sawn", "@branch off|came|sawn off?", "@branch removed|sawn|gone",
        "took|cut|sawed|removed|sawn|lopped|chopped off? .. @branch", "took|cut|sawed|removed|sawn|lopped|chopped .. @branch off|out", "took out .. @branch", "chopped|cut .. leader|top|trunk|apex off?", "trunk chopped|cut",
        "trunk chop done?", "@branch cut|taken off|out|back|away", "thinning done|finished", "lost its? .. @branch on purpose", "removed .. @branch", "heavily|lightly thinned",
        "took|cut|removed off? @share of? foliage|crown|branches|growth|canopy off?", "took weight out of? top|crown", "opened up crown|canopy|inside",
    ),
    "words pruned": ("pruned", "pruning done|finished", "pruned back", "pruned hard|lightly|heavily"),
    "job trimming": (
        "trimmed", "trimmed back|up", "clipped", "clipped back|over", "trimming done|finished|$", "clipping done|finished|$", "light trim", "light|quick|good trim", "had|got|gave .. trim|haircut|clip|trimming", "trim all over",
        "^ trim", "sheared", "snipped tips|shoots|ends|growth|runners", "tips trimmed|snipped|shortened|cut|clipped", "cut|shortened tips|runners", "cut|trimmed back? to? shape", "shoots shortened|trimmed|clipped", "cut shoots back",
        "shortened shoots|growth|tips", "cut back new|long shoots|growth|extensions", "cut .. back to two|one|first|2 leaves|pairs?", "snipped back",
    ),
    "job after-bloom-pruning": (
        "pruned after bloom|flowering|blooming|flowers", "cut .. back after bloom|flowering|flowers|blooming", "deadheaded and pruned|cut", "post bloom|flowering pruning|prune|trim",
        "trimmed|clipped after bloom|flowering|flowers", "after bloom|flowering prune|pruning|cut|trim", "after bloom pruning",
    ),
    "job defoliation": (
        "defoliated", "defol", "de foliated", "defoliation done|finished|$", "stripped .. leaves", "leaves stripped|cut|removed|taken off?", "took|cut|pulled|plucked|stripped off? .. leaves off", "cut|took|plucked off .. leaves", "removed .. leaves", "leaf cut|cutting done?", "leaf pruned",
        "outer|big|large leaves off|removed|cut", "cut .. leaves off|in", "cut|removed .. outer|big|large|biggest leaves",
    ),
    "job wiring": (
        "wired", "rewired", "re wired", "wiring done|finished|$", "wire put? on|applied $", "put|got wire on", "put .. wire on", "wire on $", "applied wire", "re wire done|$", "wired out|up", "put guy|guys|wire|raffia on", "guy wire|wires on", "finished wiring", "started wiring",
        "styled and wired", "wired .. branches|shoots|trunk", "did .. wiring",
    ),
    "job wire-check": (
        "wire|wires @check over|at|?", "@check over|at? .. wire|wires", "wire check done?", "had look at? .. wire|wires", "looked over? .. wire", "wire|wires ok|okay|fine|alright|still|good", "wire not biting|cutting", "checked on? wire|wires", "wire looked at",
        "wire isn't|not|hasn't bitten|biting|cutting|marking in?", "no wire bite|marks", "wire check", "went over .. wire", "eyed wire",
    ),
    "off wire": (
        "wire off|removed|out|gone", "wire came|taken|come|cut|unwound off|out?", "took|cut|got|unwound|pulled|snipped|removed .. wire off", "took off|out .. wire", "removed .. wire", "unwired", "de wired", "dewired", "unwound .. wire", "cut .. wire off|away", "wires off|removed|out|cut", "took|cut|got|unwound .. wires off",
        "removed .. wires", "raffia|clamp off|removed", "took .. raffia|clamp off", "wire all? off",
    ),
    "off ties": (
        "ties off|cut|out|removed", "cut|removed|took .. ties off?", "tie down|downs wires? off|cut|removed", "cut|removed|took off? .. tie down|downs wires?", "tie wire|wires off|cut|removed|out", "cut|removed|took .. tie wire|wires off?",
        "guy|guys|guywire|anchor wire|wires? off|removed|cut|out", "cut|removed|took .. guy|anchor|holding|securing wire|wires off?", "untied from? pot", "cut .. tie down|downs wires? on", "anchor wires cut|removed|off", "took|cut|removed .. string|strings|anchors off?",
    ),
    "bend": (
        "bent trunk", "bent .. trunk", "trunk bent", "big|heavy|hard|severe bend|bending", "bent .. raffia|clamp|jack|rebar|lever", "raffia|clamp|jack .. bent|bend", "bent .. right|hard|loads|heavily|way down|over|round|?", "bent .. 90|45|80|60|degrees", "heavily bent", "bent .. right down",
        "bent .. main|first|big|thick|heavy branch|trunk", "cracked|split trunk and bent",
    ),
    "job deadwood": (
        "carved", "carving done|$", "deadwood done|work|worked|cleaned|carved|treated|painted|brushed|bleached", "worked|cleaned|brushed|treated|painted|carved .. deadwood|jin|jins|shari|dead", "deadwood lime", "jin|jins|shari cleaned|carved|done|worked|stripped|painted|brushed|treated|made|extended|refined", "lime sulphur|sulfur|sulfer|sulpher on|to? .. dead|jin|shari|deadwood|bits",
        "lime sulphur|sulfur on", "painted|brushed lime sulphur|sulfur", "lime sulphured|sulfured", "made|cut|created|stripped .. jin|jins|shari", "dead bit|bits|branch carved|cleaned|painted|brushed", "jinned", "opened|widened|extended shari",
        "peeled .. jin|shari", "new jin|shari", "painted .. dead bit|bits|wood|branch", "carved .. dead|trunk|front|hollow",
    ),
    "job dormant-spray": (
        "dormant sprayed", "sprayed dormant", "winter sprayed", "winter|dormant @spray on|done|?", "winter wash", "winter oil|oiled", "lime sulphur|sulfur spray|sprayed", "sprayed .. lime sulphur|sulfur", "sprayed .. winter|dormant oil|wash|?",
        "copper|oil sprayed", "winter|dormant spray",
    ),
    "job feeding": (
        "fed", "fed $", "gave .. @food", "gave .. a? feed", "feeding done|$", "fertilised", "fertilized", "put .. @food on|out|down", "@food on|applied|given|down|out $", "new|fresh cakes|pellets|@food on|out|?", "bit of? @food", "good|quick|light|first|another feed $", "fed and watered", "liquid feed|fed|feeding", "had|got .. feed", "topped up|replaced .. @food", "iron|magnesium|sequestrene feed|given",
        "started feeding", "cakes|pellets all round|on|out",
    ),
    "job shade": (
        "shaded", "put .. in|under|into shade", "under shade", "moved .. into|to|under|in shade", "shade cloth|net|netting|sail up|on|over|out", "put|got|hung shade cloth|net|netting up?", "in shade $", "round shady|shaded side", "out of full|afternoon|hot sun", "put up .. shade", "shade up $", "put .. shade up", "into shade", "moved .. out of sun", "shading up|on",
    ),
    "job winter-shelter": (
        "sheltered", "put .. in|under|into shelter|@in|cover", "brought|taken|carried|took|moved|lugged .. in|inside|indoors|@in", "taken in", "under cover $", "put under cover", "^ into|in @in|shelter $", "back in|into @in|shelter", "^ in? cold frame $", "^ in|into cold frame|house $", "moved|put|brought|carried|took into|in cold frame|house", "mulched in|down", "heeled in", "wrapped .. fleece|bubble", "fleece on|over", "fleeced", "went in|into|inside $",
        "brought|moved .. in for|from|out winter|cold|frost", "bedded down|in", "pot buried|mulched", "winter protection on|up",
    ),
    "off cover": (
        "brought|moved|carried|put|took|came|come|went .. back? out|outside|outdoors .. @in|shelter|winter|spring?", "back out|outside|outdoors", "out of @in|shelter|cover|winter|coldframe", "out from under|@in", "out from winter|cover", "uncovered", "fleece|cover|covers|mulch off|removed", "took .. fleece|cover|covers|mulch off", "shade cloth|net|netting|sail down|off|away|removed", "took|taken .. shade|cloth|netting|net down|off|away",
        "out of cold frame|house|greenhouse", "out of winter quarters", "moved|put|brought|carried out|outside|outdoors", "outside again", "shade down $", "unwrapped",
    ),
    "job collecting": (
        "^ collected", "collected from|by|off|up|on|at", "dug up|out|from", "dug .. up|out", "lifted from @bed", "out of @bed", "yamadori", "collected", "dug .. @bed",
    ),
    "job air-layering": ("air layered", "air layer|layers on|started|set|made|taken|off|done|put", "put|set|started|made .. air layer|layers", "air layering done|started|$", "^ layered $", "layered branch|top", "ring barked", "separated .. layer", "layer separated|off|severed|potted"),
    "job cuttings": ("took .. cuttings", "cuttings taken|struck|in|stuck|off|from", "^ cuttings $", "struck .. cuttings", "put|stuck|planted .. cuttings in?", "dozen|few|some|ten|six cuttings", "cuttings off|from"),
    "job grafting": ("grafted", "grafts|graft done|on|made|set|put", "thread|approach graft|grafted|grafts", "grafting done|$", "put .. graft|grafts on|in", "did .. graft|grafts"),
}  # fmt: skip
