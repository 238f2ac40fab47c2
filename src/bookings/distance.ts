import { hours } from '../time/instant.ts';

/** Degrees, north and east positive. */
export type Place = { readonly latitude: number; readonly longitude: number };

/** Mean radius of the earth, International Union of Geodesy and Geophysics. */
const earthKm = 6371.0088;

const radians = (degrees: number): number => (degrees * Math.PI) / 180;

/** Great circle on a sphere, km; within about 0.5 % of the distance on the real earth. */
export const straightKm = (from: Place, to: Place): number => {
  const north = Math.sin(radians(to.latitude - from.latitude) / 2) ** 2;
  const east = Math.sin(radians(to.longitude - from.longitude) / 2) ** 2;
  const chord = north + Math.cos(radians(from.latitude)) * Math.cos(radians(to.latitude)) * east;
  return 2 * earthKm * Math.asin(Math.min(1, Math.sqrt(chord)));
};

/** How roads differ from straight lines. */
export type Driving = { readonly detour: number; readonly kmPerHour: number; readonly parkingMs: number };

/** Assumed (common practice, no source): town streets. */
export const assumedDriving: Driving = { detour: 1.3, kmPerHour: 25, parkingMs: hours(1 / 12) };

/** Nobody parks anew to stay where they are. */
export const drivingMs = (from: Place, to: Place, driving: Driving = assumedDriving): number => {
  const km = straightKm(from, to);
  return km === 0 ? 0 : hours((km * driving.detour) / driving.kmPerHour) + driving.parkingMs;
};
