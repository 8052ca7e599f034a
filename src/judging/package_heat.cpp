#include "judging/package_heat.h"

namespace boardlore {

double package_class_c(double thickness_mm, double volume_mm3, SolderKind solder) {
  if (solder == SolderKind::tin_lead) return thickness_mm < 2.5 && volume_mm3 < 350 ? 235 : 220;
  if (thickness_mm < 1.6) return 260;
  if (thickness_mm <= 2.5) return volume_mm3 < 350 ? 260 : volume_mm3 <= 2000 ? 250 : 245;
  return volume_mm3 < 350 ? 250 : 245;
}

}  // namespace boardlore
