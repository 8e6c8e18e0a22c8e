"""What growers say of buds, leaves and flowers, in English, by BBCH code; on a pine some words mean another stage.

Common words of the trade, from memory.
"""

from __future__ import annotations

from collections.abc import Mapping

SETS: Mapping[str, str] = {
    "bud": "bud buds",
    "moving": "moving move moves moved swelling swell swells begun stirring fattening plumping plumped",
    "swollen": "swollen fat plump full",
    "break": "breaking break breaks burst bursts bursting broke broken opening opens opened open cracking cracked popping popped",
    "leaf": "leaf leaves foliage",
    "needle": "needle needles",
    "candle": "candle candles",
    "flower": "flower flowers bloom blooms blossom blossoms",
    "colour": "colour color",
    "gold": "gold golden red yellow orange scarlet crimson",
    "fall": "falling fall falls dropping drop drops fallen",
    "hard": "hard hardened",
    "start": "starting started start begin begins began begun beginning just first few",
}

STAGES: Mapping[str, tuple[str, ...]] = {
    "stage 0": ("^ resting $", "^ dormant $", "buds resting|dormant", "^ fully|still|completely dormant|asleep $", "^ still? asleep $"),
    "stage 1": (
        "@bud @moving", "^ @moving $", "buds begin|beginning|began|begun|starting|started to? swell|move|fatten", "@bud fat|fattening", "flush on move $",
        "buds on move", "^ on move $", "^ waking up? $", "^ stirring $", "buds start to? swell|move", "@moving @bud", "swelling buds", "buds are moving", "@candle @moving", "@candle @start to? move|moving|swell", "@candle on move", "^ starting|started|beginning|begun to? move|swell|wake|stir $", "second flush moving|starting|started|on|begun", "second|2nd flush @start?", "new buds @moving",
    ),
    "stage 3": ("@bud swollen|plump", "^ swollen $", "green point|points", "buds really|properly|well|nice fat", "@bud very|really|properly|nice fat", "buds full|fit to burst"),
    "stage 7": (
        "@bud @break", "budbreak", "budburst", "@candle long", "@candle out|extending|extended|elongating|lengthening", "^ @candle $", "@candle long as", "long @candle $", "@candle a? finger|inch|hand long", "leaves breaking", "^ bursting|breaking|burst $", "breaking bud", "breaking|bursting|popping into? bud|leaf", "@candle .. cm|inches|inch|fingers", "@candle up|growing|running|stretching",
    ),
    "stage 9": ("green tips|tip", "green leaf tips", "caps off", "green at tips", "tips green|showing", "showing|shows green", "first|bit of green showing|?", "a? haze of? green", "green showing", "tips of green", "green haze", "just greening"),
    "stage 10": ("leaves opening|separating|unfurling", "leaf opening", "needles showing|show|through|visible|poking|appearing", "^ new shoots $", "shoots showing", "needles @start to? show", "leaves @start to? separate|unfurl|open", "^ leafing out $", "^ unfurling $", "coming into leaf"),
    "stage 11": (
        "leaves|leaf open", "^ open $", "first leaf|leaves", "first leaf|leaves open", "leaves out", "leafed out", "leafed up", "^ in leaf $", "in leaf $", "fully? in leaf", "needles open", "^ in full leaf $", "leaves are out|open", "leaves have opened", "leaves opened", "out in leaf", "leafed $",
    ),
    "stage 15": ("leaves unfolded|spread", "leaves fully|all open|out|unfolded|spread", "^ in full leaf $", "full leaf", "needles standing? apart", "fully leafed|out|leaved", "leaves spread|unfolded", "fully in leaf", "fully leafed out", "all? leaves full size"),
    "pine 1": ("@candle @moving", "^ moving $"),
    "pine 7": ("@candle long",),
    "pine 10": ("needles showing",),
    "pine 15": ("needles out", "needles open|opened|opening", "^ open $", "needles fully|all open|out", "needles separating|separated|spreading|spread|apart", "^ in leaf $"),
    "stage 51": ("flower buds @moving", "flower buds swell|swelling|moving|fat|plump|showing", "blossom|bloom buds @moving|fat|swelling|plump", "flower buds fattening|showing|?", "flower buds fat|swollen"),
    "stage 61": (
        "first flower|flowers|blossom|bloom|blooms open|out|?", "^ flowering $", "in flower $", "in flower", "flowers open|opening|out", "^ blooming $", "in bloom", "@start to? flower|bloom", "starting flowering|to? flower|bloom", "first|few blossoms|blooms|flowers open|out", "flower|bloom|blossom open|out", "few flowers out|open", "coming into flower|bloom", "two|three|couple|one flowers|flower|blooms out|open", "flowers opened", "^ flowering", "started|begun flowering|blooming",
    ),
    "stage 65": ("full bloom|flower|blossom|blooms", "in full bloom|flower|blossom", "covered in flowers|flower|bloom|blossom|blooms", "^ full out $", "^ full? out full? $", "fully out $", "at? its? peak bloom|flower", "peak bloom|flower", "smothered in flowers|bloom|blossom|flower", "all? flowers open", "flowers at? their? best", "fully in? flower|bloom", "in full swing|glory flower?"),
    "stage 67": ("petals fall|falling|dropping|coming|drop", "flowers|bloom|blooms|blossom|flower fading|going|browning|fade|faded|dropping|wilting|turning", "petals everywhere", "petals raining|drifting", "flowers past best|it", "dropping petals|flowers|blossom", "bloom past best"),
    "stage 69": ("petals off|down|gone|dropped", "flowering|bloom|blooming over|finished|done|ended", "end of flowering|bloom", "^ over $", "flowers over|finished|gone|done|spent", "finished flowering|blooming|bloom", "bloom|blossom over|finished|done", "done flowering|blooming", "last flowers|petals off|gone|dropped|down", "all petals down|off", "flowers all? over|gone|dropped|mush"),
    "stage 91": ("growth|shoots|needles|leaves|shoot|flush|wood|foliage @hard off?", "^ hardened off? $", "^ hard $", "hardened off", "growth|leaves hardening off?", "leaves hard|leathery", "new growth hardened|hard|firm", "flush hardened|hard"),
    "stage 92": ("leaf|autumn|fall colour|color", "leaves|foliage colouring|coloring|turning|coloured|colored|turned", "^ colouring|coloring up? $", "^ coloured|colored up? $", "^ turning $", "@start to? colour|color|turn", "gone|turned|turning|going @gold", "all @gold $", "turning colour|color", "autumn colours|colors", "first|any|autumn|fall colour|color", "colour|color yet", "in full colour|color", "leaves gone|going? @gold", "colour|color coming|starting|showing", "colouring|coloring up|nicely|well|now", "^ all? gold|golden $"),
    "stage 93": ("leaf fall|drop", "leaves fall|falling|dropping|coming|drop", "@start to? drop|shed|fall leaves?", "started|starting|begun|began dropping|shedding|losing", "first leaves falling|down|off|dropping|dropped", "dropping|losing|shedding leaves|needles", "needles dropping|falling|coming|yellow", "^ dropping $", "started to? drop|shed", "leaves starting to? fall|drop|come", "has? started dropping"),
    "stage 95": ("half bare", "half of? leaves|leaf off|down|gone|dropped|fallen", "half its? leaves|foliage off|down|gone|dropped", "lost|dropped half of? leaves|leaf|foliage", "leaves half down|off|gone|fallen", "half down|fallen|naked $", "about half dropped|fallen|off|down", "half leafless", "half way bare", "about half bare"),
    "stage 97": ("leaves down|gone", "^ leaves off", "leaves all down|off|gone|fallen", "all leaves down|off|gone|fallen|dropped", "^ all? bare $", "^ bare $", "^ naked $", "dropped|lost|shed all? of? leaves|leaf", "dropped its leaves", "completely|totally|fully|quite|stone bare|naked|leafless", "last leaf|leaves off|down|gone|fell|dropped|fallen", "leafless", "no leaves left", "all? bare now", "needles all? off|down|dropped", "all|now|quite bare $", "stark naked|bare", "not a leaf left|on"),
}  # fmt: skip
