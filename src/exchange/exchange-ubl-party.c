/* Seller and payer as UBL's party elements, in the order of its schema: EndpointID, PartyIdentification,
 * PartyName, PostalAddress, PartyTaxScheme, PartyLegalEntity, Contact. */
#include "exchange-ubl-private.h"

#include <string.h>

/* What both have. */
typedef struct
{
  const char *name, *address, *city, *postcode, *region, *country;
  const char *tax_id, *registration, *endpoint;
  const char *contact, *phone, *email;
} Party;

/* TRUE where a line of the address only repeats what has an element of its own. */
static gboolean
repeats (const char *line, const Party *party)
{
  const char *const parts[] = { party->postcode, party->city, party->region };
  g_autofree char *rest = g_utf8_casefold (line, -1);

  for (gsize i = 0; i < G_N_ELEMENTS (parts); i++)
    {
      g_autofree char *part = parts[i] != NULL ? g_utf8_casefold (parts[i], -1) : NULL;
      char *found = part != NULL && *part != '\0' ? strstr (rest, part) : NULL;

      if (found != NULL)
        memset (found, ' ', strlen (part));
    }
  return rest[strspn (rest, " ,")] == '\0';
}

/* BT-35, BT-36, BT-162: at most three; an address on one line is parted at its commas. */
static GPtrArray *
split_address (const Party *party)
{
  GPtrArray *lines = g_ptr_array_new_with_free_func (g_free);
  const char *address = party->address != NULL ? party->address : "";
  g_auto (GStrv) parts = g_strsplit (address, strchr (address, '\n') != NULL ? "\n" : ",", -1);

  for (gsize i = 0; parts[i] != NULL; i++)
    {
      const char *part = g_strstrip (parts[i]);

      if (*part == '\0' || repeats (part, party))
        continue;
      if (lines->len < 3)
        g_ptr_array_add (lines, g_strdup (part));
      else
        {
          char *last = g_ptr_array_steal_index (lines, 2);

          g_ptr_array_add (lines, g_strconcat (last, ", ", part, NULL));
          g_free (last);
        }
    }
  return lines;
}

static void
write_address (TdXml *xml, const Party *party)
{
  g_autoptr (GPtrArray) lines = split_address (party);

  td_xml_open (xml, "cac:PostalAddress", NULL);
  td_xml_text (xml, "cbc:StreetName", lines->len > 0 ? g_ptr_array_index (lines, 0) : NULL);
  td_xml_text (xml, "cbc:AdditionalStreetName", lines->len > 1 ? g_ptr_array_index (lines, 1) : NULL);
  td_xml_text (xml, "cbc:CityName", party->city);
  td_xml_text (xml, "cbc:PostalZone", party->postcode);
  td_xml_text (xml, "cbc:CountrySubentity", party->region);
  if (lines->len > 2)
    {
      td_xml_open (xml, "cac:AddressLine", NULL);
      td_xml_text (xml, "cbc:Line", g_ptr_array_index (lines, 2));
      td_xml_close (xml);
    }
  td_xml_open (xml, "cac:Country", NULL);
  td_xml_text (xml, "cbc:IdentificationCode", party->country);
  td_xml_close (xml);
  td_xml_close (xml);
}

static void
write_tax (TdXml *xml, const char *id, const char *scheme)
{
  td_xml_open (xml, "cac:PartyTaxScheme", NULL);
  td_xml_text (xml, "cbc:CompanyID", id);
  td_xml_open (xml, "cac:TaxScheme", NULL);
  td_xml_text (xml, "cbc:ID", scheme);
  td_xml_close (xml);
  td_xml_close (xml);
}

static gboolean
is_known (const char *text)
{
  return text != NULL && *text != '\0';
}

static void
write_contact (TdXml *xml, const Party *party)
{
  if (!is_known (party->contact) && !is_known (party->phone) && !is_known (party->email))
    return;
  td_xml_open (xml, "cac:Contact", NULL);
  td_xml_text (xml, "cbc:Name", party->contact);
  td_xml_text (xml, "cbc:Telephone", party->phone);
  td_xml_text (xml, "cbc:ElectronicMail", party->email);
  td_xml_close (xml);
}

/* @other_scheme: (nullable): of a tax id that is no VAT id (BT-32, which only a seller has). */
static void
write_party (TdXml *xml, const Party *party, const char *other_scheme)
{
  g_autofree char *vat = td_ubl_get_vat (party->tax_id);

  td_xml_open (xml, "cac:Party", NULL);
  if (is_known (party->endpoint))
    {
      const char *address = NULL;
      g_autofree char *scheme = td_ubl_split_endpoint (party->endpoint, &address);

      td_xml_text_with (xml, "cbc:EndpointID", "schemeID", scheme, address);
    }
  write_address (xml, party);
  if (vat != NULL)
    write_tax (xml, vat, "VAT");
  else if (other_scheme != NULL && is_known (party->tax_id))
    write_tax (xml, party->tax_id, other_scheme);
  td_xml_open (xml, "cac:PartyLegalEntity", NULL);
  td_xml_text (xml, "cbc:RegistrationName", party->name);
  td_xml_text (xml, "cbc:CompanyID", party->registration);
  td_xml_close (xml);
  write_contact (xml, party);
  td_xml_close (xml);
}

void
td_ubl_write_seller (TdXml *xml, const TdSeller *seller)
{
  const Party party = { seller->name,   seller->address,      seller->city,     seller->postcode,
                        seller->region, seller->country,      seller->tax_id,   seller->registration,
                        seller->endpoint, seller->contact,    seller->phone,    seller->email };

  td_xml_open (xml, "cac:AccountingSupplierParty", NULL);
  write_party (xml, &party, "TAX");
  td_xml_close (xml);
}

void
td_ubl_write_buyer (TdXml *xml, const TdPayer *payer)
{
  const Party party = { payer->name,   payer->address,   payer->city,     payer->postcode,
                        payer->region, payer->country,   payer->tax_id,   payer->registration,
                        payer->endpoint, payer->contact, payer->phone,    payer->email };

  td_xml_open (xml, "cac:AccountingCustomerParty", NULL);
  write_party (xml, &party, NULL);
  td_xml_close (xml);
}
