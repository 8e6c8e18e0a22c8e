"""English as growers write it: its small words, and the words by which a clause is no fact."""

from __future__ import annotations

from season_engine.species.jobs import JOB_WORDS
from season_engine.workspace.diary import english_jobs, english_stages, english_states
from season_engine.workspace.diary.tongue import Guards, Tongue, phrase_of_job

SMALL = frozenset(
    ["the", "a", "an", "my", "our", "his", "her", "its", "their", "this", "that", "these", "those", "of", "on", "in", "at", "to", "for", "with", "and", "or", "i", "i've", "i'm", "we", "we've", "she", "she's", "he", "he's", "it", "it's", "they", "they've", "them", "is", "are", "was", "were", "be", "been", "being", "has", "have", "had", "having", "'s", "am", "do", "does", "did", "got", "get", "gets", "getting", "very", "quite", "really", "rather", "so", "too", "just", "only", "now", "today", "tonight", "tonite", "finally", "at", "last", "again", "all", "both", "also", "as", "well", "over", "up", "out", "then", "bit", "little", "nicely", "properly", "lovely", "nice", "good", "well", "whole", "poor", "old", "big", "little", "new", "dear", "oh", "ok", "okay", "yes", "anyway", "honestly", "actually", "today's", "evening", "morning", "afternoon", "noon", "lunch", "lunchtime", "dinner", "tree", "trees", "bonsai", "here", "there", "still", "looking", "looks", "look", "seems", "seem", "seemed", "looked", "fairly", "pretty", "absolutely", "completely", "totally", "done", "finished", "by", "from", "into", "onto", "off", "some", "more", "one", "ones", "two", "three", "pair", "time", "first", "turn", "went", "go", "gone", "went", "yard", "since", "this", "year", "season", "spring", "summer", "autumn", "winter", "week", "round", "around", "both", "everything", "everybody", "all", "lot", "easily", "quickly", "carefully", "thoroughly", "myself", "ourselves", "me", "us", "himself", "herself", "itself", "you", "sort", "kind", "like", "proper", "good", "morning", "dawn", "dusk", "thing", "twice", "job", "at", "long", "side", "top", "bottom", "back", "front", "left", "right", "north", "south", "east", "west"]
) - {"off", "bit", "first", "gone", "like", "well", "new", "old", "half", "dead", "one", "two", "three", "out", "up", "side",
     "top", "bottom", "back", "front", "left", "right", "north", "south", "east", "west", "more", "some", "few", "went",
     "good", "lovely", "little", "only", "just", "big", "over", "to", "look", "looks", "looking", "is", "from", "into", "spring", "summer"}  # fmt: skip
PASSED = SMALL | {
    "to",
    "is",
    "looks",
    "look",
    "looking",
    "just",
    "only",
    "big",
    "good",
    "lovely",
    "little",
    "old",
}

GUARDS = Guards(
    plan=frozenset(
        ["must", "need", "needs", "needed", "going", "gonna", "will", "i'll", "we'll", "she'll", "he'll", "it'll", "they'll", "you'll", "should", "shall", "could", "would", "i'd", "we'd", "might", "may", "want", "wants", "wanted", "plan", "plans", "planning", "planned", "thinking", "think", "hope", "hoping", "hopefully", "tomorrow", "tmrw", "tmw", "soon", "later", "due", "ready", "todo", "gotta", "ought", "remember", "remind", "reminder", "let's", "consider", "considering", "maybe", "perhaps", "probably", "possibly", "almost", "nearly", "tempted", "supposed", "try", "trying", "tried", "wish", "dream", "dreamed", "dreamt", "dreaming", "imagine", "wondering", "wonder", "ask", "asked", "asking", "scheduled", "booked", "intend", "intending", "fancy", "postponed", "postpone", "delayed", "delay", "waiting", "wait", "waits", "decide", "deciding", "decided", "choose", "pretend", "next", "expecting", "expect", "expected", "candidate", "potential", "option", "idea", "until", "till", "eventually", "someday", "prepare", "preparing", "prep", "preparation", "bother", "worth", "debating", "tempting", "hesitating", "considering", "apparently", "can", "can't", "cannot", "instead", "overdue", "mean", "meant", "meaning", "unless", "assume", "assuming", "suppose", "guess", "reckon", "told", "tell", "says", "said", "advice", "advised", "suggested", "suggests", "recommend", "recommends", "recommended"]
    ),
    plan_phrases=(
        "going to", "have|has|had to", "got to", "about to", "time to|for", "ready to|for", "next week|month|year|spring|weekend|time|summer|autumn|winter|monday|tuesday|wednesday|thursday|friday|saturday|sunday|season|day",
        "to do", "another wk|week|day|month|year|weeks|days|time", "in a? fortnight|week|month", "list for", "on list", "jobs list", "put off", "too early|soon|late to|for", "this weekend", "one day", "every|each year|spring|autumn|winter|summer|time|morning|day|week", "in two|three weeks|days|months", "when weather|it",
    ),
    answers=("nope", "no", "nothing", "not yet", "still nothing", "nah"),
    denied=frozenset(
        ["not", "no", "never", "nothing", "none", "nobody", "nowhere", "neither", "nor", "isn't", "aren't", "wasn't", "weren't", "hasn't", "haven't", "hadn't", "don't", "doesn't", "didn't", "won't", "wouldn't", "can't", "couldn't", "shouldn't", "cannot", "without", "didnt", "dont", "doesnt", "hasnt", "havent", "isnt", "arent", "wasnt", "werent", "wont", "cant", "forgot", "forgotten", "skipped", "skip", "skipping", "avoided", "failed", "refused", "instead", "nope", "hardly", "barely"]
    ),
    in_vain=frozenset(["yet", "still"]),
    in_vain_denied=frozenset(["hasn't", "haven't", "hasnt", "havent", "hadn't"]),
    asks=frozenset(["do", "does", "can", "could", "should", "why", "how", "when", "what", "where", "who", "which", "anyone", "anybody", "would", "are", "shall"]),
    others=frozenset(
        ["neighbour", "neighbour's", "neighbours", "neighbor", "neighbor's", "neighbors", "friend's", "friends", "neighbours'", "someone's", "somebody's", "club", "club's", "mate's", "mates", "exhibition", "show", "museum", "video", "videos", "youtube", "book", "books", "magazine", "article", "forum", "online", "internet", "website", "demo", "demonstration", "workshop", "class", "course", "teacher", "teacher's", "sensei", "visitor's", "customer", "customer's", "client", "client's", "lecture", "talk", "photo", "photos", "picture", "pictures", "film", "podcast", "reading", "saw", "visited", "visit", "visiting", "watched", "watching", "read", "nursery's", "master", "master's", "helped", "yours", "theirs", "your"]
    ),
    agents=frozenset(
        ["neighbour", "neighbor", "friend", "mate", "bloke", "chap", "sister", "brother", "wife", "husband", "son", "daughter", "mum", "dad", "visitor", "fox", "squirrel", "squirrels", "cat", "dog", "birds", "bird", "slug", "slugs", "deer", "mice", "mouse", "pigeon", "pigeons", "possum", "he's", "they"]
    ),
    habit=frozenset(
        ["always", "usually", "used", "never", "ever", "normally", "generally", "traditionally", "often", "sometimes", "rarely", "years", "ago", "decades", "typically", "likes", "loves", "hates", "prefers"]
    ),
    condition=frozenset(["if", "whether", "suppose", "provided", "unless"]),
    subordinate=frozenset(["when", "once", "until", "till", "before", "after", "since", "while", "where", "unless", "whenever", "although", "than"]),
    joins=frozenset(["and", "but", "so", "then", "also", "plus", "while", "because", "cause", "coz", "cos", "though", "although", "which", "whilst", "&", "+", "or"]),
    turns=frozenset(["but", "though", "although", "however", "so", "anyway"]),
    too=frozenset(["too", "also", "same", "likewise", "ditto", "aswell"]),
    pronouns=frozenset(["she", "she's", "he", "he's", "it", "it's", "they", "they're", "her", "him", "its", "them"]),
    articles=frozenset(["a", "an", "another", "some", "any", "someone's", "somebody's"]),
    determiners=frozenset(["the", "a", "an", "newly", "freshly", "recently", "my", "our", "that", "this", "those", "these", "his", "her", "their"]),
    everything=frozenset(["everything", "everyone", "everybody", "lot", "all", "everything's", "everybody's", "everyone's"]),
    rest=frozenset(["rest", "others", "other", "ones", "remaining", "remainder", "others'"]),
    plural=frozenset(["both", "all"]),
    compared=frozenset(["than", "compared", "unlike"]),
    already=frozenset(["already"]),
    now=frozenset(["now", "today", "tonight", "tonite", "still", "currently", "morning", "afternoon", "evening"]),
    yard=frozenset(
        ["bench", "benches", "yard", "garden", "frost", "rain", "rained", "raining", "wind", "windy", "snow", "snowed", "hail", "storm", "stormy", "heat", "heatwave", "hot", "cold", "freezing", "weather", "hose", "hosed", "watered", "watering", "water", "greenhouse", "shed", "pond", "irrigation", "sprinkler", "soil", "pots", "tools", "moss", "sun", "sunny", "drizzle", "fog", "gale", "humidity", "dew", "minus", "degrees", "temperature", "thermometer", "shelf", "shelves", "staging", "benchwork", "aphids", "slugs", "mites", "greenfly", "caterpillars", "fungicide", "insecticide"]
    ),
    # Words beside those of the phrases that are known, so that none of them is taken for a slip.
    known=frozenset(["copper", "cooper", "aluminium", "aluminum", "scissors", "pliers", "turntable", "akadama", "pumice", "kiryu", "lava", "grit", "bark", "pine", "spruce", "sealed", "sealant", "paste", "widow", "harbor", "gable", "penny", "lamp", "moss"]),
)  # fmt: skip


def _jobs_by_name() -> dict[str, tuple[str, ...]]:
    """What jobs are called in the table of jobs."""
    by_name: dict[str, tuple[str, ...]] = {}
    for words, meant in JOB_WORDS.items():
        key = f"job {meant[0]}" if len(meant) == 1 else f"words {' '.join(words)}"
        by_name[key] = (*by_name.get(key, ()), *phrase_of_job(words))
    return by_name


ENGLISH = Tongue(
    name="en",
    tables=(
        _jobs_by_name(),
        english_jobs.JOBS,
        english_stages.STAGES,
        english_states.STATES,
        {"idle": english_states.IDLE},
    ),
    sets={**english_jobs.SETS, **english_stages.SETS, **english_states.SETS},
    small=PASSED,
    guards=GUARDS,
)
