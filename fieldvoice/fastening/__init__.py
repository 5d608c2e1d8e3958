"""How a board is fastened, marked and lifted: from one table with a source a row, in exact numbers."""
