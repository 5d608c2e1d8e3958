"""How the reading ear's head is made: texts from the grammar, synthetic voices, site noise, the frozen encoder, CTC.

`python -m training OUT` runs the whole of it. Only this folder uses torch.
"""
