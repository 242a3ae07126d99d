using CaliperStation.Core.Correcting;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Standards;
using Xunit.Abstractions;

namespace CaliperStation.Core.Tests.Correcting;

public sealed class AppliedMovesTests(ITestOutputHelper output)
{
    [Fact]
    public void Probe()
    {
        foreach (long within in new long[] { 1, 2, 3, 4 })
        {
            Plan plan = Blouse.AllSeen(within).Plan();
            Random random = new(77);
            int guarded = 0, notOutside = 0, trueIn = 0, conflicts = 0, noMove = 0, plainRead = 0, g2 = 0, n2 = 0, p2 = 0, sets = 0;
            const int Coats = 300;
            var watch = System.Diagnostics.Stopwatch.StartNew();
            for (int coat = 0; coat < Coats; coat++)
            {
                Synthetic synthetic = Synthetic.AllSeen(plan, random);
                synthetic.Displace(random, 3_000_000, 0.03);
                var first = synthetic.Read(random); Advice advice = Advise.For(plan, first, CorrectingSettings.For(plan.Standard));
                noMove += advice.Moves.Count == 0 ? 1 : 0;
                conflicts += advice.Conflicts.Count > 0 ? 1 : 0;
                foreach (ItemMove move in advice.Moves) synthetic.Apply(move);
                var after = synthetic.Read(random);
                var js = plan.Relations.SelectMany(r => Judge.Relation(plan.Standard, r, s => after[s])).ToList();
                guarded += js.All(j => j.Verdict == Verdict.Within) ? 1 : 0;
                notOutside += js.All(j => j.Verdict != Verdict.Outside) ? 1 : 0;
                plainRead += js.All(j => j.Margin >= 0) ? 1 : 0;
                var stale = StaleReadings.After(plan, advice.Moves.Select(m => m.Item));
                foreach (var k in first.Keys) if (!stale.Contains(k)) after[k] = first[k];
                js = plan.Relations.SelectMany(r => Judge.Relation(plan.Standard, r, s => after[s])).ToList();
                g2 += js.All(j => j.Verdict == Verdict.Within) ? 1 : 0; n2 += js.All(j => j.Verdict != Verdict.Outside) ? 1 : 0; p2 += js.All(j => j.Margin >= 0) ? 1 : 0; sets += advice.Moves.Count;
                var exact = synthetic.Read();
                js = plan.Relations.SelectMany(r => Judge.Relation(plan.Standard, r, s => exact[s])).ToList();
                trueIn += js.All(j => j.Margin >= 0) ? 1 : 0;
            }
            output.WriteLine($"within {within}/64: guarded {guarded} notOutside {notOutside} plainRead {plainRead} trueIn {trueIn} stale: guarded {g2} notOut {n2} plain {p2} moved {sets} conflicts {conflicts} noMove {noMove} of {Coats}; {watch.ElapsedMilliseconds} ms");
        }
    }
}
