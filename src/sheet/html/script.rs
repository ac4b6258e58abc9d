//! The one script of a page: ticks of ops stay after a reload.

/// Keeps the ticks in the browser, for this page, this notebook and this op. An op
/// whose words or values changed loses its tick and says so. Without a store, or
/// without scripts, the boxes work as boxes.
pub const SCRIPT: &str = r#"
(function(){
document.querySelectorAll('article').forEach(function(part){
var key='ticks '+location.pathname+' '+part.dataset.file,kept=[];
try{kept=JSON.parse(localStorage.getItem(key))||[]}catch(e){}
if(!Array.isArray(kept))kept=[];
var ops=Array.from(part.querySelectorAll('.op')),seen={};
ops.forEach(function(op,place){
var form=op.dataset.op,again=seen[form]=(seen[form]||0)+1;
op.mark=form+' '+again;op.says=op.querySelector('.words').textContent.trim();op.place=place;
});
function say(op,why){var p=document.createElement('p');p.className='lost';p.textContent=why;op.querySelector('.do').appendChild(p)}
ops.forEach(function(op){
var box=op.querySelector('input');
var same=kept.find(function(k){return k.mark===op.mark});
if(same&&same.says===op.says)box.checked=true;
else if(same)say(op,'Was ticked, but has changed since. It said: '+same.says);
else{
var was=kept.find(function(k){return k.place===op.place});
if(was&&!ops.some(function(o){return o.mark===was.mark}))say(op,'An op that was ticked here has changed since. It said: '+was.says);
}
box.addEventListener('change',function(){
var now=ops.filter(function(o){return o.querySelector('input').checked}).map(function(o){return{mark:o.mark,says:o.says,place:o.place}});
try{localStorage.setItem(key,JSON.stringify(now))}catch(e){}
});
});
});
})();
"#;
