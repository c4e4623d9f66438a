"""Words of other languages that are one slip away from an English word worth recognising, and are left as typed.

Chosen by running our own speller over the commonest 5,000 words of French, Spanish, German, Italian, Portuguese and
Dutch in the pyspellchecker package (MIT licence).
"""

FOREIGN_WORDS = frozenset(
    """
    accidente accidenti acidente actuelle aine ambulancia ambulanza bain ballen bester bevel blessure bleven
    bloeding borst botter breken carcel changer changez chante chope commande commander commandes commando comparte
    compiere compleet complejo complet completa completar completo complexe complexo complice comporte comptant
    constante contant contanti copa copie copine copo cose costante cote coule coupee cour decident depresion
    depressa depressief despertar detresse dever disperata disperato doce doctora dode dona donnee dono dons dorst
    dottor doue doutor drong droog droom echange eleve elever eleves exercito exercitos facture factures falen
    falle fand faulen feter fetter feuer fingen fingere fingir finissez fixe fome forse fous fout fractura fullen
    gant geant geven grap grijp gris hait halb hals hande hange hart hemd hilf hond hopeloos horst iets infeccion
    infecte infectie ingles insecten insectes inyeccion ione kant komplett komplette kost lait leve levee levei
    levem leven leves levez locken meent meint menant mensagem mensagens ment messager messaggi mets minuten
    minutos mision missen moest mogt mont mort mots nain nait nene nero netter ninez nino noie nome noten noye numa
    overdosis packe packen packst packt packte paese paie paio pais paix pakket pand pase passe pausa pauze
    pression programa programas programma programmes programmi puin rand reis repas repos rever rive roken sain
    sait scopre seconda seconde secondes secondi secondo sehen seien seks seme sens sensacion sensazione sers sete
    seus sliep snappen sobe soie sollen somme soms stap stets stof stok stom stopt suicida suicider suicidio tand
    tant temperatura temperatuur tiree tome tope torse tweeling vallen vero vinger vingers visioen visione wagt
    wann warst weicht weit welk werk wint wirst wollen wrak zand zitting
    """.split()
)
