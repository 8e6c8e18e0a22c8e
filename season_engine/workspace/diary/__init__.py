"""Reading a grower's words: phrases by meaning in two languages, and a small reader of clauses."""
