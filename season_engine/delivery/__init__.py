"""How the report leaves the machine: mail and a folder, each week's once, with a record of what went."""
