"""Advice drawn from several assessments at once: two yards side by side."""
