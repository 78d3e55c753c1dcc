"""One file for each kind of question: how it is studied, and how its study is told."""
