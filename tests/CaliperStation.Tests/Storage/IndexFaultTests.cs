using System.Globalization;
using CaliperStation.Core.Records;
using CaliperStation.Storage;

namespace CaliperStation.Tests.Storage;

/// <summary>An index with a flipped bit changes no answer, and nothing is filed by it. <c>CALIPER_STATION_INDEX_FLIPS</c> asks for more flips.</summary>
public sealed class IndexFaultTests : IDisposable
{
    private readonly TemporaryFolder _place = new();

    private StorePaths Paths => _place.Paths;

    [Fact]
    public void A_flipped_bit_anywhere_in_the_index_changes_no_answer_and_no_record_that_follows()
    {
        int flips = int.TryParse(Environment.GetEnvironmentVariable("CALIPER_STATION_INDEX_FLIPS"), CultureInfo.InvariantCulture, out int asked) ? asked : 60;
        StoreFixture.FillVaried(Paths);
        string[] files = [Paths.Index, Paths.Index + ".lock"];
        byte[][] whole = [.. files.Select(File.ReadAllBytes)];
        string segment = Directory.GetFiles(Paths.Journal).Single();
        byte[] journal = File.ReadAllBytes(segment);
        string right = StoreFixture.Answers(Paths);
        Random random = new(20261126);
        for (int flip = 0; flip < flips; flip++)
        {
            int file = flip % 10 == 9 ? 1 : 0;
            byte[] flipped = [.. whole[file]];
            int bit = random.Next(flipped.Length * 8);
            flipped[bit / 8] ^= (byte)(1 << (bit % 8));
            File.WriteAllBytes(files[0], whole[0]);
            File.WriteAllBytes(files[1], whole[1]);
            File.WriteAllBytes(files[file], flipped);
            if (flip % 2 == 0)
            {
                Assert.Equal((flip, right), (flip, StoreFixture.Answers(Paths)));
            }

            using (Store store = StoreFixture.Work(Paths))
            {
                using StationKey key = StationKey.Open(Paths);
                Assert.Equal((flip, 7L), (flip, StoreFixture.File(store, key, 7).Record!.Number));
                Assert.DoesNotContain(store.Records.Verify().Findings, finding => finding.Where != "index.db");
            }

            File.WriteAllBytes(segment, journal);
        }
    }

    [Fact]
    public void A_changed_index_is_named_by_verify_once_and_made_anew()
    {
        StoreFixture.FillVaried(Paths);
        byte[] bytes = File.ReadAllBytes(Paths.Index);
        bytes[bytes.Length / 2] ^= 1;
        File.WriteAllBytes(Paths.Index, bytes);
        using (Store look = StoreFixture.Look(Paths))
        {
            RecordFinding finding = Assert.Single(look.Records.Verify().Findings);
            Assert.Equal((FindingKind.Changed, "index.db"), (finding.Kind, finding.Where));
        }

        using Store again = StoreFixture.Look(Paths);
        Assert.Empty(again.Records.Verify().Findings);
    }

    [Fact]
    public void Looking_at_a_closed_index_does_not_make_it_anew_or_change_it()
    {
        StoreFixture.FillVaried(Paths);
        byte[] before = File.ReadAllBytes(Paths.Index);
        List<StoreProgress> progress = [];
        using (Store look = StoreFixture.Look(Paths, progress))
        {
            Assert.Equal(6, look.Records.Summaries(new()).Count());
        }

        Assert.DoesNotContain(progress, step => step.Why.Contains("index", StringComparison.Ordinal));
        Assert.Equal(before, File.ReadAllBytes(Paths.Index));
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void Whoever_looks_while_a_bench_works_has_an_index_too_and_sees_what_was_filed_since(bool indexWasThere)
    {
        StoreFixture.FillVaried(Paths);
        if (!indexWasThere)
        {
            File.Delete(Paths.Index);
        }

        using Store bench = StoreFixture.Work(Paths);
        using StationKey key = StationKey.Open(Paths);
        for (int filed = 7; filed < 9; filed++)
        {
            StoreFixture.File(bench, key, filed);
            List<StoreProgress> progress = [];
            using Store look = StoreFixture.Look(Paths, progress);
            Assert.Null(look.NoIndex);
            Assert.Equal(filed, look.Index!.RecordCount());
            Assert.Equal(filed, look.Records.Summaries(new()).Count());
            Assert.Empty(look.Records.Verify().Findings);
            Assert.Equal(4, progress.Where(step => step.Why != Journal.Proving).Max(step => step.Done));   // the events since, not the whole journal
        }
    }

    [Fact]
    public void A_copy_for_lookers_that_was_changed_is_made_anew()
    {
        StoreFixture.FillVaried(Paths);
        using Store bench = StoreFixture.Work(Paths);
        byte[] bytes = File.ReadAllBytes(Paths.IndexToLook);
        bytes[9000] ^= 1;
        File.WriteAllBytes(Paths.IndexToLook, bytes);
        using (Store look = StoreFixture.Look(Paths))
        {
            Assert.Equal("index-look.db", Assert.Single(look.Records.Verify().Findings).Where);
        }

        using Store again = StoreFixture.Look(Paths);
        Assert.Empty(again.Records.Verify().Findings);
    }

    /// <summary>What changes while the index is open is found by the check of the document that is read.</summary>
    [Theory]
    [InlineData("records", "verified")]
    [InlineData("blouses", "last")]
    [InlineData("open", "first")]
    [InlineData("heads", "number")]
    public void A_document_that_does_not_give_its_check_is_not_believed(string collection, string member)
    {
        StoreFixture.FillVaried(Paths);
        Tamper(collection, member);
        using Store look = StoreFixture.Look(Paths);
        Assert.Null(look.NoIndex);
        Assert.Contains(look.Records.Verify().Findings, finding => finding.Where == "index.db");
        Assert.Equal(6, look.Records.Summaries(new()).Count());
        Assert.Contains(look.Records.Summaries(new()), record => !record.Verified);
        Assert.NotNull(look.Index!.Stale);
    }

    /// <summary>A document with a good check may still not be what the journal says.</summary>
    [Theory]
    [InlineData("records", "verified")]
    [InlineData("blouses", "_id")]
    [InlineData("open", "first")]
    public void An_index_that_agrees_with_itself_but_not_with_the_journal_is_named(string collection, string member)
    {
        StoreFixture.FillVaried(Paths);
        Tamper(collection, member, checkAnew: true);
        using Store look = StoreFixture.Look(Paths);
        Assert.Contains(look.Records.Verify().Findings, finding => finding.Where == "index.db");
    }

    /// <summary>Changes one document and seals the file again, as a fault under an open index would show.</summary>
    private void Tamper(string collection, string member, bool checkAnew = false)
    {
        using IndexSeal seal = IndexSeal.Acquire(Paths.Index)!;
        using (LiteDB.LiteDatabase database = new(Paths.Index))
        {
            LiteDB.ILiteCollection<LiteDB.BsonDocument> documents = database.GetCollection(collection);
            LiteDB.BsonDocument document = documents.FindAll().First();
            if (member == "_id")
            {
                documents.Delete(document["_id"]);
            }
            else
            {
                document[member] = document[member].IsBoolean ? !document[member].AsBoolean : document[member].IsInt64 ? document[member].AsInt64 + 1 : "other";
                documents.Update(checkAnew ? IndexDocuments.Checked(document) : document);
            }
        }

        seal.Write(seal.Number, seal.Hash, IndexSeal.HashOf(Paths.Index));
    }

    [Fact]
    public void Events_that_an_index_not_closed_has_seen_are_missed_when_the_journal_loses_them()
    {
        StoreFixture.FillVaried(Paths);
        using (IndexSeal seal = IndexSeal.Acquire(Paths.Index)!)
        {
            seal.Write(seal.Number, seal.Hash, null);
        }

        string segment = Directory.GetFiles(Paths.Journal).Single();
        File.WriteAllLines(segment, File.ReadAllLines(segment)[..8]);
        using (Store look = StoreFixture.Look(Paths))
        {
            Assert.Equal(DamageKind.Missing, Assert.Single(look.Report.Damage).Kind);
        }

        Assert.Throws<StoreException>(() => StoreFixture.Work(Paths));
    }

    public void Dispose() => _place.Dispose();
}
