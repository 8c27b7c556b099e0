export { PhotosService } from './photos.service.js';
