"""The steps' words in French: (title, sentence), smaller words, names of pieces. Not yet read by a French cutter."""

from collections.abc import Mapping

FRENCH: Mapping[str, tuple[str, str]] = {
    "prepare": (
        "{cloth} : repasser, équerrer, couper",
        "{cloth} : repassez, tirez un fil ou posez une équerre sur la lisière, et coupez le bout droit.",
    ),
    "prepare_fusible": (
        "{cloth} : équerrer, sans fer",
        "{cloth} : pas de fer, la colle fondrait. Lissez à la main, posez une équerre sur la lisière, et coupez le bout droit.",
    ),
    "width": (
        "Mesurer la largeur à trois endroits",
        "{cloth} : mesurez de bord à bord aux deux bouts et au milieu. Le placement vaut pour {width} ; si moins, placez de nouveau.",
    ),
    "open": ("Étendre ouvert, endroit {face}", "{cloth} : une couche, endroit {face}, droit fil le long de la table, sans pli."),
    "lengthwise": (
        "Plier une fois en long",
        "{cloth} : pliez {sides} dans la longueur, lisière sur lisière : la couche pliée a {depth} de profondeur.",
    ),
    "off_centre": (
        "Plier en long, {depth} de profondeur",
        "{cloth} : pliez {sides} en long, la lisière {edge} à {depth} du pli ; le reste garde une couche.",
    ),
    "crosswise": (
        "Plier une fois en travers",
        "{cloth} : rabattez le bout {sides}, {along} du bout au pli, lisières sur lisières.",
    ),
    "quarters_along": (
        "Plier en quatre en long",
        "{cloth} : pliez au milieu, {sides} : le milieu devant. Amenez ce pli à {short} des bords libres.",
    ),
    "quarters_across": (
        "Plier en quatre en travers",
        "{cloth} : coupez {whole}. Pliez en travers au milieu, {sides} : milieu devant. Amenez ce pli à {short} des bouts.",
    ),
    "crossed_four": (
        "Plier en travers, puis en long",
        "{cloth} : rabattez le bout {sides}, {along} du bout au pli, puis une fois en long : quatre couches sur {depth}.",
    ),
    "layers": (
        "Vérifier {layers} et {depth}",
        "Comptez {layers} ici et tenez la pile contre la barre de lumière : du pli au bord au moins {depth}. Moins : pliez de nouveau.",
    ),
    "layers_open": (
        "Vérifier {layers} et {depth}",
        "Une couche ici : tenez-la contre la barre de lumière, de bord à bord au moins {depth}. Moins : placez de nouveau.",
    ),
    "weights": ("Lisser, poser les poids", "Lissez les couches sans les étirer et posez les poids loin des lignes."),
    "place": (
        "Lumière au coin du pli, au bord",
        "Laissez le tissu et déplacez la lumière : première croix sur le coin, deuxième croix sur le bord.",
    ),
    "place_open": (
        "Lumière au coin, puis au bord",
        "Laissez le tissu et déplacez la lumière : première croix sur le coin du tissu, deuxième croix le long du bord.",
    ),
    "print": (
        "Placer le motif, flèches en haut",
        "Le haut du motif va {up}. La couture est une fenêtre : déplacez la lumière jusqu'à voir le motif dans sa croix, loin des pinces.",
    ),
    "print_any": (
        "Placer le motif",
        "La couture est une fenêtre sur le motif : déplacez la lumière jusqu'à voir le motif dans sa croix, loin des pinces.",
    ),
    "print_seen": ("Voir le motif : même lettre, même motif", "Regardez avant de couper."),
    "print_letters": ("", " Même lettre, même endroit du motif : {letters}."),
    "print_repeats": ("", " Sinon, mesurez de nouveau la répétition et placez de nouveau."),
    "print_by_hand": ("", " Sinon, glissez la pièce au téléphone jusqu'au prochain motif, verrouillez-la, mettez le tout sur la table."),
    "slide": (
        "Épingler, tirer, les marques se rejoignent",
        "Épinglez les deux marques, tirez le tissu jusqu'à ce que les épingles soient sur les croix, puis posez les poids.",
    ),
    "tape": ("Mesurer : {piece}", "Posez votre ruban sur les lignes : {lengths}."),
    "tape_split": ("", " D'abord de bord à bord, puis ce qui est cousu et les coutures."),
    "tape_quarter": ("", " Entre parenthèses : sa mesure divisée par quatre, sans aisance ni pinces."),
    "cut_one": ("Couper {piece} : {layers}", "Suivez la ligne forte de {pieces} à travers {layers}, les yeux une main devant la lame."),
    "cut_more": (
        "Couper {count} pièces : {layers}",
        "Suivez les lignes fortes de {pieces} à travers {layers}, les yeux une main devant la lame.",
    ),
    "cut_outer": (
        "Couper la ligne extérieure : {layers}",
        "Coupez {layers} sur la ligne forte, le tour de {pieces}. Les lignes en points viennent plus tard : n'y touchez pas.",
    ),
    "cut_rest": (
        "Maintenant seulement {piece} : {layers}",
        "Coupez ce qui reste de {pieces}, {layers} seulement. Partez de la coupe d'avant.",
    ),
    "cut_block": (
        "Bloc pour {piece} : {layers}",
        "Coupez le bloc sur la ligne forte, à {room} hors du tracé de {pieces}, à travers {layers}. On le colle, puis on coupe juste.",
    ),
    "first": ("", " {edge} : coupé peu profond, creusé à l'essayage."),
    "first_waist": ("", " {edge} : coupé en deçà de sa ligne, relâché quand la jupe a pendu."),
    "block": ("", " {pieces} : un bloc, {room} en dehors de la ligne de coupe ; thermocollé d'abord, coupé juste après."),
    "bias": ("", " C'est en biais : ne tirez pas en coupant."),
    "part": (
        "Carton entre couches {above} et {below}",
        "Glissez un carton sous les {count} du dessus. Voyez le tour en points : {pieces} dessus. Le carton reste jusqu'à leur retrait.",
    ),
    "snip": (
        "Cranter {depth} : {layers}",
        "Crantez {pieces} aux marques claires à travers {layers} : {depth} depuis le bord, jamais à moins de {clear} de la couture.",
    ),
    "pin": (
        "Épingler pinces et points : {layers}",
        "Épingles droites à travers {layers} de {pieces}. Une fois enlevé, séparez, marquez sur l'envers. Ne coupez jamais une pince.",
    ),
    "pin_one": (
        "Épingler pinces et points : {layers}",
        "Une épingle droite à chaque point clair de {pieces}. Une fois enlevé, marquez chacun sur l'envers. Ne coupez jamais une pince.",
    ),
    "snip_back": (
        "Mêmes crans à travers l'entoilage",
        "Voyez que chaque cran traverse aussi l'entoilage : {pieces}, {depth} depuis le bord.",
    ),
    "tag": ("Étiqueter {piece} : {layers}", "Épinglez une étiquette sur chaque couche de {pieces} : numéro, nom, coutures."),
    "tag_more": (
        "Étiqueter {count} pièces : {layers}",
        "Épinglez une étiquette sur chaque couche de {pieces} : numéro, nom, coutures.",
    ),
    "lift": ("Enlever {piece}", "Enlevez {pieces} de la table."),
    "lift_more": ("Enlever {count} pièces", "Enlevez {pieces} de la table."),
    "together": ("", " Gardez les couches de chacun épinglées ensemble."),
    "below": ("", " Ce qui est dessous ne doit pas bouger."),
    "lay_on": ("Poser sur {piece}", "Posez {pieces} sur son bloc de tissu, colle contre l'envers."),
    "lay_on_more": ("Poser {count} entoilages", "Posez {pieces} sur leurs blocs de tissu, colle contre l'envers."),
    "fuse": ("Thermocoller {piece}", "Pressez {pieces} jusqu'à ce que l'entoilage tienne, et laissez le bloc à plat jusqu'à froid."),
    "fuse_more": (
        "Thermocoller {count} blocs",
        "Pressez {pieces} jusqu'à ce que l'entoilage tienne, et laissez les blocs à plat jusqu'à froid.",
    ),
    "lay_fused": ("Poser ici le bloc collé", "Posez le bloc collé de {pieces} dans le tour fin, comme il était à la coupe."),
    "lay_fused_more": (
        "Poser ici {count} blocs collés",
        "Posez les blocs collés de {pieces} dans les tours fins, comme ils étaient à la coupe.",
    ),
    "trim": ("Couper juste : {piece}", "Coupez le bloc collé de {pieces} sur la ligne forte, tissu et entoilage ensemble."),
    "trim_more": (
        "Couper juste {count} pièces collées",
        "Coupez les blocs collés de {pieces} sur les lignes fortes, tissu et entoilage ensemble.",
    ),
    "turn_over": ("Poser {piece} sur son tour", "Posez la pièce collée sur le tour de {pieces}, pliée ou retournée comme le tour le veut."),
    "turn_over_more": (
        "Poser {count} pièces sur leurs tours",
        "Posez les pièces collées sur les tours de {pieces}, pliées ou retournées comme les tours le veulent.",
    ),
    "trim_back": ("Entoilage sur la même ligne", "L'entoilage aussi finit sur la ligne forte : coupez ce qui dépasse de {pieces}."),
    "lay_again": (
        "Reposer {piece} sur les croix",
        "Reposez {pieces} comme à la coupe, {layers} épinglées ensemble : le bord sur la ligne fine, les coins dans les croix.",
    ),
    "lay_again_more": (
        "Reposer {count} pièces sur les croix",
        "Reposez {pieces} comme à la coupe : les bords sur les lignes fines, les coins dans les croix.",
    ),
    "again": (
        "Recouper {piece} : {layers}",
        "La robe a changé depuis : recoupez {pieces} sur la ligne forte, jusqu'à {most} en dedans du bord, à travers {layers}.",
    ),
    "again_more": (
        "Recouper {count} pièces : {layers}",
        "La robe a changé depuis : recoupez {pieces} sur les lignes fortes, jusqu'à {most} en dedans des bords.",
    ),
    "tag_again": (
        "Réétiqueter {piece} : {layers}",
        "Épinglez de nouveau l'étiquette de {pieces} avec les nouvelles coutures. Les anciens crans et points à côté ne comptent plus.",
    ),
    "tag_again_more": (
        "Réétiqueter {count} pièces : {layers}",
        "Épinglez de nouveau les étiquettes de {pieces} avec les nouvelles coutures. Les anciens crans et points à côté ne comptent plus.",
    ),
    "open_rest": (
        "Étendre le reste ouvert : une couche",
        "{cloth} : équerrez le bout de ce qui reste et étendez-en {long} à plat, une couche, endroit {face}, sans pli.",
    ),
    "unfold_rest": (
        "Déplier le reste : une couche",
        "{cloth} : dépliez ce qui reste, équerrez le bout et étendez-en {long} à plat, une couche, endroit {face}.",
    ),
    "strip_tape": ("Mesurer la bande : {width}", "Posez le ruban d'équerre sur la bande de biais : {width} entre ses lignes."),
    "strips": (
        "Couper la bande de biais : {layers}",
        "Coupez sur les lignes fortes à travers {layers}, en biais : ne tirez pas. Les bouts équerrés, elle donne {whole}.",
    ),
    "strips_more": (
        "Couper {count} bandes de biais : {layers}",
        "Coupez les lignes fortes à travers {layers}, en biais : ne tirez pas. Les {all} bandes, couture de {join} au droit fil : {whole}.",
    ),
    "fit": (
        "Bâtir {cloth}, essayer, continuer",
        "Bâtissez {pieces} et essayez. Écrivez ce qui fut épinglé : les lignes de ce qui n'est pas coupé bougent. Puis continuez.",
    ),
    "hang": ("Suspendre {piece} un jour", "Suspendez {pieces} par la taille un jour ; égalisez l'ourlet et coupez-le après."),
    "hang_more": (
        "Suspendre {count} pièces un jour",
        "Suspendez {pieces} par la taille un jour ; égalisez les ourlets et coupez-les après.",
    ),
}

SAID: Mapping[str, str] = {
    "layer": "1 couche", "layers": "{n} couches", "up": "dessus", "down": "dessous", "and": " et ",
    "along": "le long du tissu", "across": "en travers du tissu", "either": "en long ou en travers du tissu",
    "letter_motif": "{letter} le motif", "letter_side": "{letter} côté à {level}",
    "at_bust": "la poitrine", "at_waist": "la taille", "at_hip": "la hanche",
    "at_skirt_waist": "la taille de la jupe", "at_skirt_hip": "la hanche",
    "sides_in": "endroit contre endroit", "sides_out": "envers contre envers (motif dehors)",
    "edge_over": "du dessus", "edge_under": "du dessous",
    "fold_to_edge": "du pli au bord à {length}", "edge_to_edge": "de bord à bord à {length}",
    "down_middle": "de haut en bas au milieu {length}",
    "need_shrunk": "d'abord lavé ou décati, comme sera la robe", "need_square": "le bout est d'équerre",
    "need_width": "aucune largeur sous {width}", "need_folded": "il est posé comme à l'étape d'avant",
    "need_counted": "les couches sont comptées, aucune trop courte", "need_weights": "les poids sont posés",
    "need_begun": "la coupe à travers toutes les couches est faite", "need_off": "{pieces} : enlevé",
    "need_laid_on": "l'entoilage est sur son bloc, colle dessous", "need_true": "{pieces} : coupé juste",
    "need_proof": "la longue ligne est d'accord avec votre ruban", "need_light": "la lumière est posée sur le tissu",
    "need_card": "le carton est entre les couches {above} et {below}", "need_lies": "les pièces sont sur leurs tours",
    "need_lit": "{pieces} : coupé jusqu'au bord de cette lumière",
    "need_cut": "{pieces} : coupé", "need_tag": "{pieces} : étiqueté", "need_fused": "{pieces} : collé et froid",
    "need_lifted": "tout ce qui fut coupé dans cette lumière est enlevé",
}  # fmt: skip

_PARTS = {
    "front centre": "milieu devant", "front side": "côté devant", "front": "devant", "back": "dos", "back centre": "milieu dos",
    "back side": "côté dos", "skirt front": "jupe devant", "skirt back": "jupe dos", "sleeve": "manche", "main": "tissu",
    "front neck facing": "parementure encolure devant", "back neck facing": "parementure encolure dos",
    "shoulder band front": "bande épaules nues devant", "shoulder band back": "bande épaules nues dos",
    "front facing": "parementure devant", "back facing": "parementure dos", "lining": "doublure", "interfacing": "entoilage",
}  # fmt: skip
NAMES: Mapping[str, str] = {
    **_PARTS,
    **{f"{name} lining": f"doublure {french}" for name, french in _PARTS.items()},
    **{f"{name} interfacing": f"entoilage {french}" for name, french in _PARTS.items()},
}
"""Pieces as a French shop calls them; a piece that is not here keeps its own name."""
