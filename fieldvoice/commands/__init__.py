"""The commands, a module each or one a subject. They join the rooms together and hold no rule of the trade."""
