package bom

import (
	"slices"
	"strings"
)

// tradeHeadings are whole headings of tables of the trade in languages whose words the rules for
// headings do not take apart: what column of a quote each means, and in a list. They are written as
// joinedForm has them, and are common practice, no source. Words for packs are left out: a price beside a VPE is that of a piece as often.
var tradeHeadings = func() map[string]tradeHeading {
	of := map[string]tradeHeading{}
	for _, row := range []struct {
		tradeHeading
		headings []string
	}{
		{tradeHeading{"Quantity", "Quantity", false}, words("bestmenge bestellmenge liefermenge auftragsmenge mge qtécommandée quantitécommandée qtà qta qtàordinata pezzi npezzi " +
			"uds unidades piezas cantidadpedida hoeveelheid stuks besteld aantalstuks qtde peças szt liczba liczbasztuk ilośćszt ilośćzamówiona ks početks kvantitet antalst mängd")},
		{tradeHeading{"Unit", "Unit", false}, words("me mengeneinheit einh verkaufseinheit unité unitédevente unità unitàdimisura unidad unidaddemedida unidaddeventa eenheid " +
			"unidade un jm jednostka jedn jednostkamiary jednotka mj měrnájednotka enhet enh")},
		{tradeHeading{"Price per", "", false}, words("preiseinheit pe prijsper prixpour precioporcada")},
		{tradeHeading{"Unit price", "Price", false}, words("stückpreis stueckpreis einheitspreis epreis ep preisstk preisstück preisprostück preisjestück verkaufspreis einzelpreis " +
			"pu punet prixnet prixu prixàlunité prixunit prezzocadauno prezzocad punitario prunitario prezzoalpezzo unitario prezzoivato " +
			"precioud precioporunidad punit preciocu valorunitario importeunitario stukprijs eenheidsprijs prijsperstuk prijsstuk prijspst verkoopprijs " +
			"preçoun punitário prunitário valorunitário valorunit vlrunit preçolíquido preçoporunidade cenajednostkowa cenajedn cenajed cenaszt cenazaszt cenazasztukę " +
			"jednotkovácena jedncena cenazakus cenaks cenazaks cenamj cenazamj jcena styckpris àpris apris ápris prisst prisperst prisstyck enhetspris prisperenhet")},
		{tradeHeading{"Line total", "Sum", false}, words("gp gpreis gesamt gesamtpreis gesamtbetrag gesamtsumme summe betrag positionswert positionspreis warenwert zeilensumme nettobetrag " +
			"totalligne montant montanttotal totale importo importototale totaleriga imponibile importe importetotal valortotal totaal totaalprijs totaalbedrag regeltotaal bedrag nettobedrag " +
			"totallíquido montante razem suma kwota łącznie łącznawartość celkem cenacelkem celkovácena částka summa belopp totalt totalpris totalsumma radsumma radbelopp")},
		{tradeHeading{"Line total", "", false}, words("wartość")}, // of a part, in a list
		{tradeHeading{"Tax %", "", false}, words("steuer steuersatz mwstsatz tauxtva tauxdetva aliquota aliquotaiva impuesto impuestos tipoiva btwtarief taxaiva imposto " +
			"stawka stawkavat dph sazba sazbadph momssats vat iva")},
		{tradeHeading{"Discount %", "", false}, words("dto descuento")},
		{tradeHeading{"Description", "Description", false}, words("artikelbezeichnung artikelbeschreibung warenbezeichnung produktbezeichnung artikeltext dénomination intitulé descriptionduproduit " +
			"descrizionearticolo descrizioneprodotto denominazione denominación descripcióndelproducto artikelomschrijving productomschrijving beschrijving benaming " +
			"descriçãodoproduto denominação nazwatowaru nazwatowaruusługi nazwaproduktu nazwaartykułu nazwaczęści názevzboží názevpoložky názevproduktu názevdílu označenídodávky artikelbenämning produktnamn")},
		{tradeHeading{"Description", "Description", true}, words("ware pièce articolo nome concepto pieza naam artigo produto peça towar komponent zboží položka součástka díl namn vara")},
		{tradeHeading{"Description", "", true}, words("material matériel materiale materiaal materiał materiál")}, // of a printed part, in a list
		{tradeHeading{articleField, "Description", true}, words("artikel")},
		{tradeHeading{"Order code", "Order code", false}, words("bestellnr bestnr bestelnr codicefornitore leveranciersnummer códigodofornecedor numerkatalogowy koddostawcy objkód kóddodavatele " +
			"beställningsnummer leverantörensartikelnummer")},
		{tradeHeading{"Order code", "", false}, words("cod cód kod kód referência referencia materialnummer materialnr codearticle référencearticle réfarticle codarticolo codart códigodeartículo códigodoartigo códigodoproduto " +
			"kodproduktu kodtowaru numerartykułu kódzboží kódproduktu kódpoložky číslopoložky produktkod produktnummer nºdeartículo nºdeartigo nºarticolo")},
		{tradeHeading{"Order code", "", true}, words("code symbol indeks riferimento ref")},
		{tradeHeading{"Part number", "Part number", false}, words("sachnummer nºdepieza númerodepieza onderdeelnummer numerczęści číslodílu")},
		{tradeHeading{"Manufacturer part number", "Part number", false}, words("herstellernummer herstellernr herstellerteilenummer herstellerartikelnummer réffabricant codiceproduttore codproduttore " +
			"referênciadofabricante códigodelfabricante fabrikantnummer kodproducenta numerproducenta tillverkarnummer tillverkarensartikelnummer")},
		{tradeHeading{"Our part", "", false}, words("ihreartikelnummer ihreartikelnr kundenartikelnummer votreréférence vostrocodice suareferencia uwartikelnummer")},
		{tradeHeading{"Manufacturer", "Manufacturer", false}, words("tillverkare")},
		{tradeHeading{"Manufacturer", "", false}, words("marque marca merk märke")},
		{tradeHeading{"Supplier", "Supplier", false}, words("fornecedor leverantör")},
		{tradeHeading{"Stock", "", false}, words("lagerbestand bestand lager auflager verfügbar verfügbarkeit enstock disponibilité disponible giacenza disponibilità disponibile existencias disponibilidad " +
			"voorraad beschikbaar estoque disponibilidade disponível stan stanmagazynowy nastanie dostępność dostępne sklad skladem dostupnost lagersaldo saldo ilager tillgänglighet")},
		{tradeHeading{"MOQ", "MOQ", false}, words("mindestbestellmenge mindestmenge mindestabnahme quantitéminimum quantitéminimale minimumdecommande quantitàminima minimoordine ordineminimo lottominimo " +
			"cantidadmínima pedidomínimo minimaleafname minimumafname minbestelhoeveelheid quantidademínima minimalnailość minimalnezamówienie minimálnímnožství minodběr minstaantal minstaorder")},
		{tradeHeading{"Currency", "Currency", false}, words("währung devise valuta divisa moneda moeda waluta měna")},
		{tradeHeading{"Date", "", false}, words("datum fecha data")},
		{tradeHeading{"Position", "", false}, words("posnr ligne riga línea linha regel rad lp řádek")},
	} {
		for _, heading := range row.headings {
			of[heading] = row.tradeHeading
		}
	}
	return of
}()

// articleField stands for an order code or a description, as what stands under the heading tells.
const articleField = "Order code, Description"

// tradeHeading is what a heading means; empty where it means nothing in a list. What may mean
// something else is loose.
type tradeHeading struct {
	quote, list string
	loose       bool
}

// tradeHeadingOf finds a heading in the table. A word for net or gross alone is a price.
func tradeHeadingOf(heading string) (of tradeHeading, ok bool) {
	if aside := asideOf(heading); !aboutTheMoney(aside) && !IsPieces(aside) {
		return of, false
	}
	tokens := slices.DeleteFunc(headingWords(heading), func(t string) bool { return slices.Contains(currencyWords, t) })
	if said, _ := TaxIn(heading); len(tokens) == 0 && (said == NetPrice || said == GrossPrice) {
		return tradeHeading{"Unit price", "Price", false}, true
	}
	if len(tokens) > wordsLimit {
		return of, false
	}
	of, ok = tradeHeadings[strings.Join(tokens, "")]
	return of, ok
}

// UnitHeading tells whether a heading is that of the units in which something is sold.
func UnitHeading(heading string) bool {
	column, _ := QuoteTab.Find("Unit")
	is := func(word string) bool { return NormalHeading(word) == NormalHeading(heading) }
	of, _ := tradeHeadingOf(heading)
	return is(column.Heading) || slices.ContainsFunc(column.Synonyms, is) || of.quote == "Unit"
}
