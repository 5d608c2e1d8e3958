"""How the reading ear is made: texts from the grammar, synthetic voices, site noise, encoder and head together by CTC.

`python -m training retrain OUT` runs the whole of it. Only this folder uses torch.
"""
