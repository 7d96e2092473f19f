#include "stock/provenance.h"

namespace bight::stock {

std::string_view words(Provenance provenance) {
  switch (provenance) {
    case Provenance::kMeasuredHere:
      return "measured here";
    case Provenance::kMillCertificate:
      return "mill certificate";
    case Provenance::kSupplierSheet:
      return "supplier's sheet";
    case Provenance::kPublishedTypical:
      return "published typical";
    case Provenance::kPublishedMinimum:
      return "published minimum";
    case Provenance::kDerived:
      return "derived";
    case Provenance::kRuleOfThumb:
      return "rule of thumb";
    case Provenance::kUnconfirmed:
      return "unconfirmed";
  }
  return "unconfirmed";
}

}  // namespace bight::stock
