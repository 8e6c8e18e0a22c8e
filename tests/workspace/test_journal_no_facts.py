"""Lines that must not be taken for facts: plans, questions, denials, other people's trees, metaphors."""

from __future__ import annotations

import pytest

from season_engine.workspace.journal_words import Understood
from tests.benchmarks.diary_lines import read

LINES = """\
fed up with Harbour
Widow is hard to photograph
the wire shop was closed, so nothing for Anvil
old friend came by to see Penny
dead tired after lifting Moss
open day at the club, took Harbour
leafed through a book on larches
must repot Rook
must cut the candles on Widow
going to wire Anvil at the weekend
should have decandled Harbour
thinking of cutting the candles on Widow
will feed Bramble tomorrow
Harbour needs repotting
time to defoliate Cooper?
did I repot Moss last year?
has Marrow been fed?
if the candles move I'll cut them on Harbour
didn't repot the elm
no decandling this year for Widow
don't feed Penny before the shoots are hard
never wired Fennel
wire not put on Thistle
my neighbour's black pine was decandled
saw a larch in full bloom at the museum
helped a friend repot his olive
Dave's larch was repotted
Harbour is stronger than Widow
Gable looks like Cooper did when repotted
bought wire for Anvil
bought a new pot for Sloe
sold the old pot Moss was in
collected water for Penny
Harbour looks fine, the roses are in full bloom
sat by Moss, repotted the tomatoes
I'm sick, couldn't water Harbour
was ill all week, Penny got no water
trimmed the hedge behind Harbour
the grafting knife for Anvil arrived
repotting season is near, Rook
the repotting bench fell on Lamp
Anvil would be dead without the shade
nearly decandled Widow
perhaps wire Fennel next week
the decandled ones look better than Harbour
always feed Bramble in spring
hope Moss is strong enough for repotting
Harbour's old photo, young and wild then
put Harbour on the list for repotting
lit candles next to Penny tonight
wish I had repotted Cooper
read that larches are repotted at bud burst
they say olives should be cut back hard
Harbour muss umgetopft werden
Lärche morgen umtopfen
soll ich die Ulme entlauben?
Widow nicht entkerzt
der Nachbar hat seine Ulme umgetopft
Draht für Anvil gekauft
nächste Woche wird Cooper gedüngt
wenn die Knospen schwellen, wird Moss umgetopft
Tag der offenen Tür, Harbour hat alle begeistert
todmüde nach dem Umtopfen von Moss
vielleicht Penny im Herbst verkauft
Rook braucht Dünger
Bramble noch nicht umgetopft
habe alte Fotos von Harbour gefunden
Gable dropped a branch in the wind, half of it is dead
the top of Harbour is dead, rest fine
a few twigs dead on Fennel
Penny nearly died in the heat
Widow looks half dead
Cooper has died back a bit on the left
leaves on Lamp all gone soft
leaves of Cooper on the ground after the storm, green ones too
Sloe stopped flowering early this year
lost the label off Thistle
Harbour's candles got broken by the cat
found moss growing on Penny's trunk
scraped the moss off Harbour's bark
held the pot while Dad repotted Rook
saved the cut candles from Harbour for the compost
Marrow's been nibbled, half the leaves gone to the caterpillars
wind took half the leaves off Cooper
a branch of Rook snapped under the snow
colour on Marrow is poor this year
Sloe's roots showing on top
Harbour's old needles are yellow, it's normal
roots on Fennel white and healthy
second flush on Widow a finger long
wired the pot of Harbour to the bench
took Sloe in for the flowers, kitchen table
fig leaves dropping since I moved it
lost half its leaves to red spider, the elm
weak candles on the inside of Harbour
Harbour strong on top and weak below
Lamp leaves stopped dropping
the repotted look of Rook, supposed to be natural
Sturm hat bei Gable einen Ast abgerissen
ein Ast von Fennel ist tot
Spitze von Harbour abgestorben
Knospen von Sloe erfroren
Blätter von Cooper braun und hängen noch
letztes Jahr um diese Zeit war Cooper schon kahl
Little Cooper ist umgefallen, ein Zweig ab
Fennel hat den Winter gut überstanden
die ersten Blätter von Lamp liegen vertrocknet da
Marrow Blätter am Rand vertrocknet
Widow Nadeln innen gelb, normal
nipped over to see Penny at hilltop
pruned the roots off a weed in Moss
Rook put up a size, on paper
Azalee verliert alte Blätter, normal
bei Harbour alle Kerzen weg, der Specht war's
""".splitlines()


def facts(note: Understood) -> list[object]:
    return [one for one in (note.job, note.bbch, note.details if not note.plain else None) if one is not None]


@pytest.mark.parametrize("said", LINES)
def test_no_fact_is_taken(said: str) -> None:
    notes = read(said)
    assert notes is not None, "a line that names a tree is kept"
    assert [one for note in notes for one in facts(note)] == []
