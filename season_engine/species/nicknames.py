"""Short and foreign words for kinds of tree, and words of species' names that mean no tree by themselves.

Common among growers, from memory.
"""

from __future__ import annotations

from collections.abc import Mapping

# In words of the catalogue's names, which decide what is meant.
NICKNAMES: Mapping[str, str] = {
    "jbp": "pinus thunbergii", "jrp": "pinus densiflora", "jwp": "pinus parviflora", "kuromatsu": "pinus thunbergii",
    "akamatsu": "pinus densiflora", "goyomatsu": "pinus parviflora", "mugo": "pinus mugo", "scotspine": "pinus sylvestris",
    "scots": "pinus sylvestris", "scotch": "pinus sylvestris", "ume": "prunus mume", "mumes": "prunus mume", "shimpaku": "juniperus chinensis",
    "itoigawa": "juniperus chinensis", "kishu": "juniperus chinensis", "momiji": "acer palmatum", "deshojo": "acer palmatum",
    "kiyohime": "acer palmatum", "kashima": "acer palmatum", "tridents": "acer buergerianum", "keyaki": "zelkova serrata",
    "ezo": "picea jezoensis", "tosho": "juniperus rigida", "nana": "juniperus procumbens", "karamatsu": "larix kaempferi",
    "retusa": "ficus microcarpa", "ginseng": "ficus microcarpa", "crabapple": "crab apple", "crabapples": "crab apple", "crab": "crab apple",
    "crabs": "crab apple", "catlin": "ulmus parvifolia", "cinese": "chinese", "privets": "privet", "monterey": "pinus radiata",
    "schwarzkiefer": "black pine", "japanschwarzkiefer": "pinus thunbergii", "rotkiefer": "red pine", "waldkiefer": "pinus sylvestris", "foehre": "pinus sylvestris",
    "maedchenkiefer": "pinus parviflora", "montereykiefer": "pinus radiata", "bergkiefer": "pinus mugo", "latsche": "pinus mugo",
    "kiefer": "pine", "ahorn": "maple", "ahorne": "maple", "faecherahorn": "acer palmatum", "faecherahorne": "acer palmatum", "dreispitzahorn": "acer buergerianum", "dreispitzahorne": "acer buergerianum",
    "dreizahnahorn": "acer buergerianum", "dreizackahorn": "acer buergerianum", "feldahorn": "acer campestre", "wacholder": "juniper",
    "chinawacholder": "juniperus chinensis", "laerche": "larch", "hainbuche": "hornbeam", "weissbuche": "hornbeam", "buche": "beech", "buchen": "beech",
    "aprikose": "apricot", "azalee": "azalea", "ulme": "elm", "chinaulme": "ulmus parvifolia", "feldulme": "ulmus minor",
    "olivenbaum": "olive", "oelbaum": "olive", "olivenbaeume": "olive", "feige": "fig", "feigenbaum": "fig", "birkenfeige": "ficus benjamina", "gummibaum": "ficus", "linde": "linden",
    "eiche": "oak", "birke": "birch", "eibe": "yew", "zeder": "cedar", "zypresse": "cypress", "fichte": "spruce", "tanne": "fir",
    "kamelie": "camellia", "glyzinie": "wisteria", "blauregen": "wisteria", "zierquitte": "flowering quince", "scheinquitte": "flowering quince",
    "zierapfel": "crab apple", "weissdorn": "hawthorn", "schwarzdorn": "blackthorn", "schlehe": "blackthorn", "feuerdorn": "firethorn", "liguster": "privet", "buchsbaum": "buxus",
    "buchs": "buxus", "zelkove": "zelkova", "granatapfel": "pomegranate", "kirsche": "cherry", "mammutbaum": "redwood", "urweltmammutbaum": "dawn redwood",
    "sumpfzypresse": "bald cypress", "stechpalme": "holly", "chinesische": "chinese", "chinesischen": "chinese", "chinesischer": "chinese", "japanische": "japanese", "japanischen": "japanese",
    "japanischer": "japanese", "europaeische": "european", "europaeischen": "european",
}  # fmt: skip

# Words of species' names that are said of other things too: no kind is meant by them alone.
ORDINARY = frozenset(
    ["japanese", "chinese", "european", "common", "english", "american", "korean", "swiss", "italian", "norwegian", "canadian", "siberian", "indian", "black", "white", "red", "blue", "silver", "golden", "rusty", "orange", "yellow", "pink", "scarlet", "crimson", "dwarf", "small", "large", "great", "lesser", "giant", "tall", "mountain", "coast", "shore", "river", "beach", "swamp", "temple", "hedge", "garden", "field", "wild", "northern", "southern", "eastern", "western", "flowering", "weeping", "winged", "bald", "downy", "flaky", "loose", "leaved", "leaf", "leaf-", "cut", "thread", "needle", "willow", "tree", "trees", "box", "tea", "lime", "saw", "paper", "flower", "flowers", "star", "stars", "thousand", "money", "crown", "thorns", "summer", "snow", "rock", "rose", "bush", "plum", "apple", "bird", "sweet", "water", "stone", "horsetail", "umbrella", "old", "man", "queen's", "pride", "of", "the", "a", "in", "oval", "narrow", "broad", "full", "moon", "hall's", "sky", "flame", "jungle", "woods", "jade", "elephant", "brush", "strawberry", "natal", "fragrant", "sacred", "burning", "winter", "spring", "christmas", "sea", "sand", "musk", "wood", "pepper", "monk's", "chaste", "cherry", "atlantic", "pacific", "antarctic", "mediterranean", "desert", "hybrid", "group", "var", "subsp", "x", "sugar", "ground", "rough", "toothbrush", "powder", "puff", "parrot's", "beak", "shoe", "hair", "maidenhair", "cork", "holm", "nettle", "deciduous", "tasmania", "rocky", "lady", "penny", "lamp", "moss", "rook", "bay", "port", "jackson", "jackson's", "family", "dewdrop", "india", "lebanon", "tokyo", "asper", "afra", "nigra", "minor", "ovata", "media", "montana", "indica", "japonica", "sinensis", "nana", "alba", "coarse", "edible", "sand", "hill"]
)  # fmt: skip
