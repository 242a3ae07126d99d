using CaliperStation.Core.Judging;
using CaliperStation.Core.Records;
using CaliperStation.Storage;
using Record = CaliperStation.Core.Records.Record;

namespace CaliperStation.Tests.Storage;

public sealed class RecordStoreTests : IDisposable
{
    private readonly TemporaryFolder _place = new();

    private StorePaths Paths => _place.Paths;

    [Fact]
    public void Records_filed_are_found_again_listed_in_order_and_verified()
    {
        StoreFixture.Fill(Paths, 5);
        using Store store = StoreFixture.Look(Paths);
        Assert.Null(store.NoIndex);
        Assert.Equal(["sitting-1", "sitting-2", "sitting-3", "sitting-4", "sitting-5"], store.Records.Summaries(new()).Select(record => record.Id));
        Assert.Equal("QG-002", store.Records.Find("sitting-2")!.Sealed!.Record!.Tag);
        Assert.Null(store.Records.Find("sitting-9"));
        Assert.Equal("sitting-4", store.Records.LastOf("QG-001")!.Sealed!.Record!.Id);
        StoreCheck check = store.Records.Verify();
        Assert.Empty(check.Findings);
        Assert.Equal((20, 5), (check.Lines, check.Records));
    }

    /// <summary>A blouse is often asked for by its tag where a record's id may stand; reading a big journal for it takes many seconds.</summary>
    [Fact]
    public void What_the_index_knows_not_to_be_there_is_not_looked_for_in_the_journal()
    {
        StoreFixture.Fill(Paths, 3);
        using Store store = StoreFixture.Look(Paths);
        Directory.Move(Paths.Journal, Paths.Journal + "-away");
        Assert.Null(store.Records.Find("sitting-9"));
        Assert.Null(store.Records.LastOf("QG-999"));
        Assert.Throws<StoreException>(() => store.Records.Find("sitting-1"));
    }

    [Fact]
    public void With_and_without_the_index_the_answers_are_the_same()
    {
        StoreFixture.Fill(Paths, 6);
        RecordFilter[] filters =
        [
            new(), new(Tag: "QG-001"), new(Hand: "EF"), new(Item: "badge"), new(Verdict: Verdict.Outside), new(Verdict: Verdict.Borderline),
            new(From: StoreFixture.At.AddDays(3), Until: StoreFixture.At.AddDays(5)), new(Tag: "qg-001"), new(Tag: " QG-001"),
        ];
        using Store with = StoreFixture.Look(Paths);
        using Store without = StoreFixture.LookAtTheJournal(Paths);
        Assert.Null(with.NoIndex);
        foreach (RecordFilter filter in filters)
        {
            Assert.Equal(without.Records.Summaries(filter).Select(Text), with.Records.Summaries(filter).Select(Text));
            Assert.Equal(without.Records.Wanted(filter).Select(Text), with.Records.Wanted(filter).Select(Text));
        }

        Assert.Equal(["sitting-2"], with.Records.Summaries(new(Item: "badge")).Select(record => record.Id));
        Assert.Equal(["sitting-3"], with.Records.Summaries(new(Verdict: Verdict.Outside)).Select(record => record.Id));
        static string Text(object record) => record is FiledRecord filed ? $"{filed.Where} {filed.Sealed!.ToText()}" : record is RecordSummary one ? string.Join('|', [.. one.Items, .. one.Hands]) + (one with { Items = [], Hands = [] }) : "";
    }

    [Fact]
    public void Open_sittings_are_known_until_they_are_closed()
    {
        using (Store store = StoreFixture.Work(Paths))
        {
            store.Append(StoreFixture.At, "s-a", "started", StoreFixture.Started("s-a", "QG-100"));
            store.Append(StoreFixture.At, "s-b", "started", StoreFixture.Started("s-b", "QG-200"));
            store.Append(StoreFixture.At, "s-b", "abandoned", "{}");
            Assert.Equal(["s-a"], store.Records.OpenSittings().Select(sitting => sitting.Sitting));
        }

        using Store with = StoreFixture.Look(Paths);
        using Store without = StoreFixture.LookAtTheJournal(Paths);
        Assert.Equal([new OpenSitting("s-a", "QG-100", StoreFixture.At, 1)], with.Records.OpenSittings("QG-100"));
        Assert.Equal(with.Records.OpenSittings(), without.Records.OpenSittings());
        Assert.Empty(with.Records.OpenSittings("QG-200"));
        Assert.Equal(["started"], with.ReadSitting("s-a", 1).Select(line => line.Kind));
    }

    [Fact]
    public void A_corrected_tag_and_a_sitting_given_up_are_known_with_and_without_the_index()
    {
        using (Store store = StoreFixture.Work(Paths))
        {
            store.Append(StoreFixture.At, "s-a", "started", StoreFixture.Started("s-a", "QG-100"));
            store.Append(StoreFixture.At, "s-b", "started", StoreFixture.Started("s-b", "QG-200"));
            store.Append(StoreFixture.At, "s-c", "started", StoreFixture.Started("s-c", "QG-300"));
            store.Append(StoreFixture.At, "s-a", "tag", """{"tag":"QG-101","reason":"read wrong"}""");
            store.Append(StoreFixture.At, "s-b", "tag", """{"tag":"QG-201","reason":"read wrong"}""");
            store.Append(StoreFixture.At, "s-b", "abandoned", """{"reason":"the coat was fetched"}""");
            store.Append(StoreFixture.At, "s-x", "abandoned", """{"reason":"of no sitting"}""");
        }

        using Store with = StoreFixture.Look(Paths);
        using Store without = StoreFixture.LookAtTheJournal(Paths);
        foreach (Store store in (Store[])[with, without])
        {
            Assert.Equal(["QG-101", "QG-300"], store.Records.OpenSittings().Select(sitting => sitting.Tag));
            Assert.Equal("s-a", Assert.Single(store.Records.OpenSittings("qg-101")).Sitting);
            Assert.Empty(store.Records.OpenSittings("QG-100"));
            Assert.Equal([new AbandonedSitting("s-b", "QG-201", StoreFixture.At, "the coat was fetched")], store.Records.Abandoned());
        }
    }

    [Fact]
    public void A_tag_is_found_in_upper_and_lower_case()
    {
        StoreFixture.Fill(Paths, 4);
        using (Store store = StoreFixture.Work(Paths))
        using (StationKey key = StationKey.Open(Paths))
        {
            RecordStore.Close(store, StoreFixture.Make(5, store.Records.NextPlace(key)) with { Tag = "qg-001" }, key, StoreFixture.At.AddDays(5));
        }

        using Store with = StoreFixture.Look(Paths);
        using Store without = StoreFixture.LookAtTheJournal(Paths);
        foreach (Store store in (Store[])[with, without])
        {
            Assert.Equal(["sitting-1", "sitting-4", "sitting-5"], store.Records.Summaries(new(Tag: "Qg-001")).Select(record => record.Id));
            Assert.Equal("sitting-5", store.Records.LastOf("QG-001")!.Sealed!.Record!.Id);
        }

        Assert.Equal("sitting-5", with.Records.Latest().Single(record => record.Tag == "qg-001").Id);
        Assert.DoesNotContain(with.Records.Latest(), record => record.Tag == "QG-001");
    }

    [Fact]
    public void The_chain_goes_on_over_starts_and_over_a_new_key()
    {
        StoreFixture.Fill(Paths, 2);
        using (Store store = StoreFixture.Work(Paths))
        {
            using StationKey next = StationKey.Renew(Paths, "a year", StoreFixture.At, out _);
            StoreFixture.File(store, next, 3);
        }

        using Store look = StoreFixture.Look(Paths);
        Assert.Empty(look.Records.Verify().Findings);
        Record[] records = [.. look.Records.Wanted(new()).Select(filed => filed.Sealed!.Record!)];
        Assert.Equal([1, 2, 3], records.Select(record => record.Number));
        Assert.Single(records.Select(record => record.Chain).Distinct());
    }

    [Theory]
    [InlineData("missing")]
    [InlineData("damaged")]
    [InlineData("behind")]
    [InlineData("older")]
    [InlineData("another")]
    public void An_index_that_is_of_no_use_is_made_from_the_journal(string trouble)
    {
        StoreFixture.Fill(Paths, 3);
        byte[] behind = File.ReadAllBytes(Paths.Index);
        switch (trouble)
        {
            case "missing":
                File.Delete(Paths.Index);
                break;
            case "damaged":
                File.WriteAllBytes(Paths.Index, [.. Enumerable.Repeat((byte)0x5A, 20_000)]);
                break;
            case "behind":
                using (Store store = StoreFixture.Work(Paths))
                {
                    using StationKey key = StationKey.Open(Paths);
                    StoreFixture.File(store, key, 4);
                }

                File.WriteAllBytes(Paths.Index, behind);
                break;
            case "older":
                File.WriteAllText(Paths.Index + ".lock", "");   // as versions before the seal left it
                break;
            default:
                using (IndexSeal seal = IndexSeal.Acquire(Paths.Index)!)
                {
                    seal.Write(seal.Number, new string('f', 64), seal.IndexHash);
                }

                break;
        }

        List<StoreProgress> progress = [];
        using Store look = StoreFixture.Look(Paths, progress);
        Assert.Null(look.NoIndex);
        Assert.Equal(trouble == "behind" ? 4 : 3, look.Records.Summaries(new()).Count());
        Assert.NotEmpty(progress);
        Assert.Equal(progress[^1].Total, progress[^1].Done);
        Assert.NotEqual(Journal.Proving, progress[^1].Why);   // it is of the index
    }

    [Fact]
    public void A_journal_cut_off_at_its_end_is_missed_by_the_index()
    {
        StoreFixture.Fill(Paths, 3);
        string segment = Directory.GetFiles(Paths.Journal).Single();
        string[] lines = File.ReadAllLines(segment);
        File.WriteAllText(segment, string.Join('\n', lines[..8]) + "\n");
        using (Store look = StoreFixture.Look(Paths))
        {
            StoreCheck check = look.Records.Verify();
            Assert.Contains(check.Findings, finding => finding.Kind == FindingKind.Missing && finding.Words.Contains("event 12", StringComparison.Ordinal));
            Assert.Contains(check.Findings, finding => finding is { Kind: FindingKind.Missing, Gone: (3, 3) });
            Assert.Equal(DamageKind.Missing, Assert.Single(look.Report.Damage).Kind);
        }

        Assert.Equal(StoreFault.EndMissing, Assert.Throws<StoreException>(() => StoreFixture.Work(Paths)).Fault);
    }

    [Fact]
    public void Every_single_byte_of_the_journal_changed_is_found_by_verify()
    {
        StoreFixture.Fill(Paths, 1);
        string segment = Directory.GetFiles(Paths.Journal).Single();
        byte[] whole = File.ReadAllBytes(segment);
        FaultyFolder folder = new();
        for (int index = 0; index < whole.Length; index++)
        {
            byte[] changed = [.. whole];
            changed[index] ^= (byte)(index % 2 == 0 ? 0x01 : 0x80);
            folder.Set(Path.GetFileName(segment), changed);
            using Journal journal = Journal.Open(folder, false, StoreFixture.Clock);
            bool found = !journal.Report.IsSound || journal.Report.Torn is not null;
            if (index % 29 == 0 || !found)   // the whole check takes its time; what it adds to the chain of lines is tried at every 29th
            {
                found = new RecordStore(Paths, journal, null, StationKey.Known(Paths)).Verify().Findings.Count > 0;
            }

            Assert.True(found, $"byte {index} changed was not found");
        }
    }

    /// <summary>The journal is not all a store keeps: what stands beside it is found too, or the change changes nothing.</summary>
    [Fact]
    public void Every_single_byte_of_the_kept_standards_and_of_the_list_of_keys_changed_is_found_or_without_effect()
    {
        StoreFixture.Fill(Paths, 1);
        byte[] standard = "[standard]\nname = \"Quayside parade\"\n"u8.ToArray();
        new StandardArchive(Paths.Standards).Keep(Convert.ToHexStringLower(System.Security.Cryptography.SHA256.HashData(standard)), standard);
        using Journal journal = Journal.Open(Paths, forWriting: false, StoreFixture.Clock);
        Assert.Empty(new RecordStore(Paths, journal, null, StationKey.Known(Paths)).Verify().Findings);
        string[] known = [.. StationKey.Known(Paths).All.Order(StringComparer.Ordinal)];
        string[] files = [.. Directory.GetFiles(Paths.Standards), Path.Combine(Paths.Keys, "trusted.json")];
        Assert.Equal(2, files.Length);
        foreach (string file in files)
        {
            byte[] whole = File.ReadAllBytes(file);
            for (int index = 0; index < whole.Length; index++)
            {
                byte[] changed = [.. whole];
                changed[index] ^= (byte)(index % 2 == 0 ? 0x01 : 0x80);
                File.WriteAllBytes(file, changed);
                Assert.True(IsFound(journal) || (!file.EndsWith(".toml", StringComparison.Ordinal) && known.SequenceEqual(StationKey.Known(Paths).All.Order(StringComparer.Ordinal))), $"{file}: byte {index} changed was not found");
            }

            File.WriteAllBytes(file, whole);
        }

        RecordFinding Changed(string text)
        {
            File.WriteAllText(files[0], text);
            return Assert.Single(new RecordStore(Paths, journal, null, StationKey.Known(Paths)).Verify().Findings);
        }

        Assert.Equal((FindingKind.Changed, $"standards/{Path.GetFileName(files[0])}"), (Changed("").Kind, Changed("").Where));
    }

    private bool IsFound(Journal journal)
    {
        try
        {
            return new RecordStore(Paths, journal, null, StationKey.Known(Paths)).Verify().Findings.Count > 0;
        }
        catch (StoreException)
        {
            return true;
        }
    }

    [Fact]
    public void A_record_changed_by_hand_with_all_hashes_made_anew_still_bears_the_wrong_signature()
    {
        StoreFixture.Fill(Paths, 2);
        string segment = Directory.GetFiles(Paths.Journal).Single();
        List<JournalLine> lines;
        using (Journal journal = Journal.Open(Paths, false, StoreFixture.Clock))
        {
            lines = [.. journal.Read()];
        }

        File.Delete(segment);
        File.Delete(Paths.Index);
        using (Journal forged = Journal.Open(Paths, true, StoreFixture.Clock))
        {
            foreach (JournalLine line in lines)
            {
                forged.Append(line.At, line.Sitting, line.Kind, line.Body.Replace("\"valueNm\":3176000", "\"valueNm\":3175000", StringComparison.Ordinal));
            }
        }

        using Store look = StoreFixture.Look(Paths);
        RecordFinding finding = Assert.Single(look.Records.Verify().Findings);
        Assert.Equal((FindingKind.Changed, "sitting-1"), (finding.Kind, finding.Record));
    }

    [Fact]
    public void A_database_error_makes_the_index_stale_and_stops_nothing()
    {
        using Store store = StoreFixture.Work(Paths);
        using StationKey key = StationKey.Open(Paths);
        StoreFixture.File(store, key, 1);
        store.Index!.Break(new IOException("a damaged page"));
        StoreFixture.File(store, key, 2);
        Assert.Equal(2, store.Records.Summaries(new()).Count());
        Assert.Empty(store.Records.Verify().Findings);
    }

    public void Dispose() => _place.Dispose();
}
