"""Words that a therapist wants to read of, whatever is said of them; each thing that is theirs to weigh."""

TOPICS = frozenset(
    """
    numbness tingle tingles tingling tingly weakness swelling swollen puffy bruising stiffness locking clicking
    wrist wrists fingers forearm thumb nerve tendon joint
    doctor gp physio physiotherapist therapist hospital surgeon scan xray mri ultrasound operation surgery injection
    injections cortisone steroid medicine medication tablet tablets pill pills painkiller painkillers ibuprofen
    paracetamol aspirin naproxen antibiotics codeine brace strap splint sling bandage
    kg kilo kilos heavier lighter harder instead
    """.split()
)
