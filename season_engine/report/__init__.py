"""What a weekly report holds, as facts: gathered, sorted, beside what the last one said."""
