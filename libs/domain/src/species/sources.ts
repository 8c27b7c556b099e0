/**
 * Every publication a number in Jarfold comes from. `docs/sources.md` is made from this table, and a test holds the two
 * together.
 */
export interface Source {
  readonly title: string;
  /** Who says it. */
  readonly by: string;
  readonly year: number | null;
  /** Where to find it: DOI, report number, page of the book. */
  readonly where: string;
}

const source = (by: string, year: number | null, title: string, where: string): Source => ({ by, year, title, where });

export const sources = {
  GGMM: source(
    'P. Stamets',
    1993,
    'Growing Gourmet and Medicinal Mushrooms',
    'Ten Speed Press; pages of the 1993 edition where given',
  ),
  TMC: source('P. Stamets, J. S. Chilton', 1983, 'The Mushroom Cultivator', 'Agarikon Press, p. 43 (grain table)'),
  'PSU-O': source('D. J. Royse', 2003, 'Cultivation of Oyster Mushrooms', 'Penn State Cooperative Extension'),
  'PSU-A': source('P. J. Wuest and others', null, 'Six Steps to Mushroom Farming', 'Penn State Extension'),
  VIK: source('Government of India', null, 'Oyster mushroom production', 'Vikaspedia portal'),
  ICAR: source(
    'R. C. Upadhyay, R. N. Singh, M. C. Tewari',
    2003,
    'Mushroom Spawn Production and Infrastructure Requirements',
    'National Research Centre for Mushroom, Solan; seen as reproduced in Indian teaching texts',
  ),
  MGH1: source('MushWorld', 2004, 'Mushroom Growers’ Handbook 1: Oyster Mushroom Cultivation', 'one passage'),
  'Chang-Miles-2004': source(
    'S. T. Chang, P. G. Miles',
    2004,
    'Mushrooms: Cultivation, Nutritional Value, Medicinal Effect, and Environmental Impact',
    'CRC Press, 2nd edition',
  ),
  Kalhout: source(
    'Kalhout and others',
    null,
    'Grain spawn of Agaricus bisporus and Pleurotus ostreatus on several cereals, and its storage',
    'Jordan Journal of Agricultural Sciences',
  ),
  'Soriano-2022': source(
    'Soriano and others',
    2022,
    'Spawn and substrates for Ganoderma lucidum',
    'International Journal of Microbiology and Mycology 15(6):1–10',
  ),
  'Shnyreva-2017': source(
    'A. A. Shnyreva and others',
    2017,
    'Seven Pleurotus species on fruiting substrate',
    'Advances in Microbiology 7:125–136, doi 10.4236/aim.2017.72010',
  ),
  'Zervakis-2001': source(
    'G. Zervakis and others',
    2001,
    'Mycelium growth rate and optimal temperature of edible mushrooms',
    'Folia Microbiologica 46(3):231–234',
  ),
  'Soylu-2016': source(
    'M. K. Soylu, N. Boztok, D. Esiyok',
    2016,
    'Growth of 28 strains of the Pleurotus eryngii complex at four temperatures',
    'Acta Horticulturae 1123:207–214',
  ),
  'Grigansky-1999': source(
    'Grigansky and others',
    1999,
    'Growth of 14 strains of Hericium erinaceus against temperature',
    'International Journal of Medicinal Mushrooms 1:81–87',
  ),
  'JFungi-2023': source(
    'Journal of Fungi',
    2023,
    'Growth of mould isolates against temperature, Table 5',
    'J. Fungi 9(3):294, doi 10.3390/jof9030294',
  ),
  'CRBiologies-2014': source(
    'Comptes Rendus Biologies',
    2014,
    'Cold storage of Agaricus subrufescens spawn',
    'C. R. Biologies 337(7–8):443–450, doi 10.1016/j.crvi.2014.06.002',
  ),
  'Shroff-Soni-2025': source(
    'Shroff, Soni',
    2025,
    'Five spawn generations of Volvariella volvacea',
    'Journal of Plant Development Sciences 17(12)',
  ),
  'SAU-2611': source(
    'Sher-e-Bangla Agricultural University',
    2016,
    'Survey of 110 oyster growers in 21 districts (thesis)',
    'SAU repository 2611',
  ),
  'Royse-2002': source(
    'D. J. Royse',
    2002,
    'Spawn rate and supplement for Pleurotus cornucopiae on cottonseed hull and straw',
    'Applied Microbiology and Biotechnology 58:527–531',
  ),
  'Deora-2021': source('Deora and others', 2021, 'Spawn rate of Pleurotus eryngii', 'Scientific Reports'),
  'Jatwa-2016': source(
    'T. K. Jatwa and others',
    2016,
    'Three Pleurotus species on paddy straw',
    'Journal of Pure and Applied Microbiology 10(4):2783',
  ),
  PMC7407021: source(
    'Scientifica',
    2020,
    'Pleurotus ostreatus on wheat straw and olive prunings, Table 2',
    'Scientifica 2020:3950357, PMC7407021',
  ),
  'Coffee-husk-2022': source(
    'Ethiopian coffee-waste study',
    2022,
    'Four Pleurotus species on coffee husk',
    'seen in part',
  ),
  'Ehlers-Schnitzler': source(
    'Ehlers, Schnitzler',
    null,
    'Hericium erinaceus on beech sawdust and bran',
    'Journal of Applied Botany 72:43–47',
  ),
  'ElSebaaly-2024': source(
    'El Sebaaly and others',
    2024,
    'Lentinula edodes on eucalyptus, oak and bran',
    'PLoS ONE, doi 10.1371/journal.pone.0309787',
  ),
  'USDA-grain': source('US Department of Agriculture', null, 'Legal test weights of grain, pounds per bushel', 'USDA'),
  'AGF-503': source('J. Beuerlein', 2000, 'Bushels, test weights and calculations', 'Ohio State Extension AGF-503-00'),
  'USDA-canning': source(
    'US Department of Agriculture',
    null,
    'Complete Guide to Home Canning',
    'altitude tables, dial gauge rule',
  ),
  'PNW-421': source('Pacific Northwest Extension', null, 'Using and Caring for Your Pressure Canner', 'PNW 421'),
  'IAPWS-IF97': source(
    'International Association for the Properties of Water and Steam',
    2007,
    'Revised Release on the IAPWS Industrial Formulation 1997 for Water and Steam (IF97-Rev), region 4',
    'IAPWS R7-97(2012)',
  ),
  'USSA-1976': source(
    'NOAA, NASA, US Air Force',
    1976,
    'U.S. Standard Atmosphere, 1976',
    'NOAA-S/T 76-1562; layer 0 to 11 km',
  ),
  'Doornmalen-2009': source(
    'J. P. C. M. van Doornmalen, K. Kopinga',
    2009,
    'Temperature dependence of F-, D- and z-values used in steam sterilization processes',
    'Journal of Applied Microbiology, doi 10.1111/j.1365-2672.2009.04290.x',
  ),
  'Food-thermal': source(
    'Low-acid canned food practice',
    null,
    'Lethal rate with reference 121.1 °C and z = 10 °C; D values of marker spores',
    'standard texts on thermal processing',
  ),
  'NIOSH-pocket': source(
    'US NIOSH',
    null,
    'Pocket Guide to Chemical Hazards',
    'npgd0092, npgd0262, npgd0359, npgd0103',
  ),
  NCHFP: source(
    'National Center for Home Food Preservation, Kansas State Extension',
    null,
    'Using pressure canners',
    'venting, cooling, opening',
  ),
  'Sanderson-1992': source(
    'W. Sanderson and others',
    1992,
    'Mushroom worker’s lung on one farm',
    'American Journal of Industrial Medicine 22:859–872',
  ),
  'Lenhart-Cole-1993': source(
    'S. W. Lenhart, E. C. Cole',
    1993,
    'Respiratory illness in workers of an indoor shiitake farm',
    'Applied Occupational and Environmental Hygiene 8:112–119',
  ),
  'OSHA-lime': source('US OSHA', null, 'Calcium hydroxide, chemical sampling information', 'CH_224400; ICSC 0408'),
  'CDC-mushrooms': source('US CDC', 2021, 'Emergency visits after eating poisonous mushrooms', 'MMWR 2021'),
  'CDC-enoki': source(
    'US CDC and FDA',
    2023,
    'Listeria in enoki mushrooms, outbreak closed 7 April 2023',
    'outbreak notice',
  ),
  Trade: source('Common practice of the trade', null, 'Common practice, no source', 'no publication found'),
} as const satisfies Record<string, Source>;

export type SourceKey = keyof typeof sources;
