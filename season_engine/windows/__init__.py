"""Windows for heavy jobs: when they open and close, how sure that is, and what it means today."""
