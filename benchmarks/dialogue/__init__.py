"""How the dialogue fares with mishearing: wrong plans, questions, and the seconds of the last read-back."""
