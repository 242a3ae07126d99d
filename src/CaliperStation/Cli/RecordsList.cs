using CaliperStation.Core.Records;
using CaliperStation.Core.Reports;
using CaliperStation.Core.Sittings;
using CaliperStation.Storage;

namespace CaliperStation.Cli;

/// <summary><c>records list</c>: the records of a store, the oldest first.</summary>
internal static class RecordsList
{
    internal static int Run(RecordsListOptions options, TimeProvider clock, TextWriter output, TextWriter error)
    {
        RecordFilter filter = options.Filter.Read(clock.LocalTimeZone);
        using Store store = StoreLook.Open(options.Store, error);
        if (options.Abandoned)
        {
            IReadOnlyList<AbandonedSitting> abandoned = Abandoned(store, filter);
            output.Write(options.Json ? RecordTable.AbandonedJson(abandoned) : RecordTable.Abandoned(abandoned, clock.LocalTimeZone));
            return StoreLook.Result(store);
        }

        IReadOnlyList<RecordSummary> records = [.. store.Records.Summaries(filter)];
        output.Write(options.Json ? RecordTable.Json(records) : RecordTable.Text(records, clock.LocalTimeZone));
        int givenUp = store.NoIndex is null ? Abandoned(store, filter).Count : 0;   // without the index it would be another pass over the journal
        if (givenUp > 0)
        {
            error.WriteLine(FormattableString.Invariant($"{givenUp} {(givenUp == 1 ? "sitting was" : "sittings were")} given up and made no record; --abandoned lists them."));
        }

        return StoreLook.Result(store);
    }

    private static IReadOnlyList<AbandonedSitting> Abandoned(Store store, RecordFilter filter) =>
        [.. store.Records.Abandoned().Where(sitting => filter.Tag is null || BlouseTag.Comparer.Equals(sitting.Tag, filter.Tag))];
}
