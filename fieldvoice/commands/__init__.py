"""The commands, a module each. They join the rooms together and hold no rule of the trade."""
