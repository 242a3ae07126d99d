using CaliperStation.Core.Records;
using CaliperStation.Core.Sittings;
using CaliperStation.Storage;
using Record = CaliperStation.Core.Records.Record;

namespace CaliperStation.Tests.Storage;

public sealed class LatestOfBlouseTests : IDisposable
{
    private static readonly ReadinessRule _rule = new(StoreFixture.At.AddDays(90), 30, true);
    private readonly TemporaryFolder _place = new();

    [Fact]
    public void Readiness_from_the_latest_records_is_readiness_from_all_whatever_the_order_of_filing()
    {
        Random random = new(11);
        using (Store store = StoreFixture.Work(_place.Paths))
        {
            using StationKey key = StationKey.Open(_place.Paths);
            for (int n = 1; n <= 150; n++)
            {
                Record record = StoreFixture.Make(n, store.Records.NextPlace(key)) with { Tag = $"{(random.Next(2) == 0 ? "QG" : "qg")}-{random.Next(9)}", Verified = random.Next(2) == 0, Practice = random.Next(3) == 0 };
                DateTimeOffset closed = StoreFixture.At.AddHours(random.Next(40));   // not in the order of filing, and some at the same instant
                int of = random.Next(1, 170);                                        // filed before, after, of another blouse, or never
                record = random.Next(3) switch
                {
                    0 => record with { Kind = RecordKind.Countersign, OfRecord = $"sitting-{of}" },
                    1 => record with { Kind = RecordKind.Recheck, OfRecord = $"sitting-{of}" },
                    _ => record,
                };
                RecordStore.Close(store, record with { Closed = closed, Tag = n % 50 == 0 ? "only seconds" : record.Tag }, key, closed);
            }
        }

        using Store look = StoreFixture.Look(_place.Paths);
        Assert.Null(look.NoIndex);
        IReadOnlyList<RecordSummary> latest = [.. look.Records.Latest()];
        IReadOnlyList<RecordSummary> all = [.. look.Records.Summaries(new())];
        Assert.True(latest.Count < all.Count);
        Assert.Equal(Words(all), Words(latest));
        foreach (string tag in all.Select(record => record.Tag).Distinct(BlouseTag.Comparer))
        {
            Assert.Equal(all.Last(record => BlouseTag.Comparer.Equals(record.Tag, tag)).Id, look.Records.LastOf(tag)!.Sealed!.Record!.Id);
        }

        Assert.Null(look.Records.LastOf("QG-none"));
    }

    private static IEnumerable<string> Words(IEnumerable<RecordSummary> records) => records.ToLookup(record => BlouseTag.Key(record.Tag))
        .OrderBy(blouse => blouse.Key, StringComparer.Ordinal)
        .Select(blouse => Readiness.Of(blouse.Key, [.. blouse], _ => [], null, _rule))
        .Select(ready => $"{ready.Tag} {ready.Last?.Id} {ready.Countersigned} {ready.Rechecked} {string.Join(';', ready.Why)}");

    public void Dispose() => _place.Dispose();
}
