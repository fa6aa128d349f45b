"""What a test asks of an electronic invoice: the order of its elements and its sums.

Order and number of elements: OASIS UBL 2.1 (Invoice, CreditNote and the aggregates they use), the part that the
core of EN 16931 uses by CEN/TS 16931-3-2. "?" at most once, "*" any number, "+" at least once, else once.
"""
import xml.etree.ElementTree as ElementTree
from decimal import ROUND_HALF_UP, Decimal

CAC = "{urn:oasis:names:specification:ubl:schema:xsd:CommonAggregateComponents-2}"
CBC = "{urn:oasis:names:specification:ubl:schema:xsd:CommonBasicComponents-2}"
ROOTS = {"Invoice": "{urn:oasis:names:specification:ubl:schema:xsd:Invoice-2}",
         "CreditNote": "{urn:oasis:names:specification:ubl:schema:xsd:CreditNote-2}"}

LINE = ("LineExtensionAmount InvoicePeriod? OrderLineReference? DocumentReference? AllowanceCharge* Item Price")
TAIL = ("InvoicePeriod? OrderReference? BillingReference* ContractDocumentReference? AdditionalDocumentReference* "
        "AccountingSupplierParty AccountingCustomerParty PayeeParty? TaxRepresentativeParty? Delivery? PaymentMeans* "
        "PaymentTerms? AllowanceCharge* TaxTotal+ LegalMonetaryTotal")
ORDER = {
    "Invoice": "CustomizationID ProfileID? ID IssueDate DueDate? InvoiceTypeCode Note* TaxPointDate? DocumentCurrencyCode "
               "TaxCurrencyCode? AccountingCost? BuyerReference? " + TAIL + " InvoiceLine+",
    "CreditNote": "CustomizationID ProfileID? ID IssueDate TaxPointDate? CreditNoteTypeCode Note* DocumentCurrencyCode "
                  "TaxCurrencyCode? AccountingCost? BuyerReference? " + TAIL + " CreditNoteLine+",
    "InvoicePeriod": "StartDate? EndDate?",
    "OrderReference": "ID",
    "BillingReference": "InvoiceDocumentReference",
    "InvoiceDocumentReference": "ID IssueDate?",
    "AccountingSupplierParty": "Party",
    "AccountingCustomerParty": "Party",
    "Party": "EndpointID? PartyIdentification* PartyName? PostalAddress PartyTaxScheme* PartyLegalEntity Contact?",
    "PostalAddress": "StreetName? AdditionalStreetName? CityName? PostalZone? CountrySubentity? AddressLine? Country",
    "AddressLine": "Line",
    "Country": "IdentificationCode",
    "PartyTaxScheme": "CompanyID TaxScheme",
    "TaxScheme": "ID",
    "PartyLegalEntity": "RegistrationName CompanyID?",
    "Contact": "Name? Telephone? ElectronicMail?",
    "PaymentMeans": "PaymentMeansCode PaymentID? PayeeFinancialAccount?",
    "PayeeFinancialAccount": "ID Name? FinancialInstitutionBranch?",
    "FinancialInstitutionBranch": "ID",
    "PaymentTerms": "Note",
    "TaxTotal": "TaxAmount TaxSubtotal*",
    "TaxSubtotal": "TaxableAmount TaxAmount TaxCategory",
    "TaxCategory": "ID Percent? TaxExemptionReasonCode? TaxExemptionReason? TaxScheme",
    "ClassifiedTaxCategory": "ID Percent? TaxScheme",
    "LegalMonetaryTotal": "LineExtensionAmount TaxExclusiveAmount TaxInclusiveAmount PrepaidAmount? PayableAmount",
    "InvoiceLine": "ID Note? InvoicedQuantity " + LINE,
    "CreditNoteLine": "ID Note? CreditedQuantity " + LINE,
    "DocumentReference": "ID DocumentTypeCode",
    "Item": "Description? Name ClassifiedTaxCategory",
    "Price": "PriceAmount BaseQuantity?",
}


def local(element):
    return element.tag.rsplit("}", 1)[1]


def find_misplaced(element):
    """The first element whose children are not those of the schema, in its order, or None."""
    name = local(element)
    if name not in ORDER:
        if len(element):
            return f"{name} holds elements"
        return None if element.text and element.text.strip() else f"{name} is empty"
    names = [local(child) for child in element]
    rest = list(names)
    for word in ORDER[name].split():
        wanted, sign = word.rstrip("?*+"), word[-1]
        count = 0
        while rest and rest[0] == wanted:
            rest.pop(0)
            count += 1
        if (count > 1 and sign not in "*+") or (count == 0 and sign not in "?*"):
            return f"{name}: {wanted} stands {count} times in {names}"
    if rest:
        return f"{name}: {rest[0]} is out of place in {names}"
    for child in element:
        space = CAC if local(child) in ORDER else CBC
        if not child.tag.startswith(space):
            return f"{child.tag} is in the wrong namespace"
        wrong = find_misplaced(child)
        if wrong:
            return wrong
    return None


def text(element, path):
    for step in path.split("/"):
        found = element.find(CAC + step)
        element = found if found is not None else element.find(CBC + step)
        if element is None:
            return None
    return element.text


def cents(value):
    return value.quantize(Decimal("0.01"), rounding=ROUND_HALF_UP)


def find_wrong_sum(root):
    """The first sum that does not follow (BR-CO-10, -13 to -17, BR-S-08 and its kind), or None."""
    lines = root.findall(CAC + "InvoiceLine") + root.findall(CAC + "CreditNoteLine")
    net, bases = Decimal(0), {}
    for line in lines:
        amount = Decimal(text(line, "LineExtensionAmount"))
        quantity = Decimal(text(line, "InvoicedQuantity") or text(line, "CreditedQuantity"))
        if cents(quantity * Decimal(text(line, "Price/PriceAmount"))) != amount:
            return "line " + text(line, "ID")
        net += amount
        key = (text(line, "Item/ClassifiedTaxCategory/ID"), text(line, "Item/ClassifiedTaxCategory/Percent"))
        bases[key] = bases.get(key, Decimal(0)) + amount
    total = root.find(CAC + "TaxTotal")
    tax = Decimal(0)
    for part in total.findall(CAC + "TaxSubtotal"):
        key = (text(part, "TaxCategory/ID"), text(part, "TaxCategory/Percent"))
        base, amount = Decimal(text(part, "TaxableAmount")), Decimal(text(part, "TaxAmount"))
        if bases.pop(key, None) != base or cents(base * Decimal(key[1] or 0) / 100) != amount:
            return f"tax {key}"
        if (key[0] in ("E", "AE", "O")) != (text(part, "TaxCategory/TaxExemptionReason") is not None):
            return f"reason of {key}"
        tax += amount
    sums = {name: Decimal(text(root, "LegalMonetaryTotal/" + name)) for name in
            ("LineExtensionAmount", "TaxExclusiveAmount", "TaxInclusiveAmount", "PayableAmount")}
    if bases:
        return f"no tax for {bases}"
    if Decimal(text(total, "TaxAmount")) != tax:
        return "tax"
    if sums["LineExtensionAmount"] != net or sums["TaxExclusiveAmount"] != net:
        return "net"
    return None if sums["TaxInclusiveAmount"] == sums["PayableAmount"] == net + tax else "total"


def parse(path):
    return ElementTree.parse(path).getroot()
