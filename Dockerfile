FROM node:20-slim AS build
WORKDIR /jarfold
COPY . .
RUN npm ci --no-audit --no-fund && node scripts/build.mjs

FROM node:20-slim
WORKDIR /jarfold
COPY --from=build /jarfold ./
# The build tools stay behind; workspace links and the built output stay.
RUN npm prune --omit=dev --no-audit --no-fund
USER node
CMD ["node", "apps/api/dist/main.js"]
